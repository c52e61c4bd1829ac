"""What people type into a field: lengths with their unit, numbers with commas."""

import re
from decimal import Decimal

_FEET = {
    "": Decimal(1), "ft": Decimal(1), "foot": Decimal(1), "feet": Decimal(1), "'": Decimal(1),
    "in": 1 / Decimal(12), "inch": 1 / Decimal(12), "inches": 1 / Decimal(12),
    '"': 1 / Decimal(12), "yd": Decimal(3), "yard": Decimal(3), "yards": Decimal(3),
    # A foot is 0.3048 m exactly (NIST SP 811, appendix B).
    "m": 1 / Decimal("0.3048"), "metre": 1 / Decimal("0.3048"), "metres": 1 / Decimal("0.3048"),
    "meter": 1 / Decimal("0.3048"), "meters": 1 / Decimal("0.3048"),
    "cm": 1 / Decimal("30.48"),
}  # fmt: skip
_PRIMES = str.maketrans({"\u2019": "'", "\u2032": "'", "\u201d": '"', "\u2033": '"'})
_PIECE = re.compile(r"\s*([0-9]+(?:[.,][0-9]+)?)\s*([a-z'\"]*)\s*")
_THOUSANDS = re.compile(r"[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?")
_TENTH = Decimal("0.1")


def length_ft(text: str) -> str:
    """A typed length as text of feet: "12 ft", "12'", "12' 6"", "3 m" (to the tenth).

    A text that is not a length comes back as it is, for the job's own check to refuse.
    """
    left = text.strip().lower().translate(_PRIMES)
    total, converted = Decimal(0), False
    if not left:
        return text
    while left:
        piece = _PIECE.match(left)
        if piece is None or piece[2] not in _FEET or piece.end() == 0:
            return text
        factor = _FEET[piece[2]]
        total += Decimal(piece[1].replace(",", ".")) * factor
        converted = converted or factor != 1
        left = left[piece.end() :]
    return str(total.quantize(_TENTH) if converted else total)


def number(text: str) -> str:
    """A typed number without its unit and thousands separators: "1,200 W" is "1200"."""
    bare = re.sub(r"\s*(w|watts?|kwh|a|amps?|%|usd|\$|h|ft)$", "", text.strip().lower())
    bare = bare.lstrip("$").strip()
    return bare.replace(",", "") if _THOUSANDS.fullmatch(bare) else bare
