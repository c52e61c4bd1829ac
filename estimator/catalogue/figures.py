"""Numbers as price lists write them: thousands separators, decimal commas, packs and pieces."""

import re
from decimal import Decimal
from functools import lru_cache

MAX_PACK = Decimal(1_000_000)
MAX_LENGTH = 30

_GAPS = re.compile(r"(?<=[0-9])[' \u00a0\u202f\u2019](?=[0-9]{3}(?![0-9]))")
_POINT = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+")
_COMMA = re.compile(r"[0-9]+,[0-9]+")
_GROUPED_BY_COMMA = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?")
_GROUPED_BY_POINT = re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+(?:,[0-9]+)?")
_SURE_DECIMAL_COMMA = re.compile(
    r"(?<![0-9,.])(?:0,[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,}))(?![0-9,.])"
    r"|\.[0-9]{3},[0-9]+(?![0-9,.])"
)
_SURE_DECIMAL_POINT = re.compile(
    r"(?<![0-9,.])(?:0?\.[0-9]+|[0-9]+\.(?:[0-9]{1,2}|[0-9]{4,}))(?![0-9,.])"
    r"|,[0-9]{3}\.[0-9]+(?![0-9,.])"
)


def shows_decimal_comma(cell: str) -> bool:
    """Whether a price can only be read with a comma before the decimals: 12,50 or 1.234,5."""
    return "," in cell and bool(_SURE_DECIMAL_COMMA.search(cell))


def shows_decimal_point(cell: str) -> bool:
    """Whether a price can only be read with a point before the decimals: 12.50 or 1,234.5."""
    return "." in cell and bool(_SURE_DECIMAL_POINT.search(cell))


@lru_cache(maxsize=4096)
def read_pack(cell: str, decimal_commas: bool) -> Decimal:
    """Units in a pack, above zero, at most four decimals; a blank cell is 1.

    Raises ValueError for anything else.
    """
    text = cell.strip()
    if not text:
        return Decimal(1)
    try:
        if len(text) > MAX_LENGTH:
            raise ValueError
        pack = number(text, cell, decimal_commas)
    except ValueError:
        pack = Decimal(0)
    if not 0 < pack <= MAX_PACK or pack * 10_000 % 1:
        raise ValueError(
            f"{shortened(cell)} is not a number of units above zero. Write how many pieces or feet "
            "are sold at once, such as 100, or leave it blank for 1"
        )
    return pack


@lru_cache(maxsize=1024)
def read_pieces(cell: str) -> int:
    """Separate pieces in a pack, at least 1; a blank cell is 1. Raises ValueError."""
    text = cell.strip() or "1"
    if not text.isascii() or not text.isdigit() or not 0 < len(text) <= 5 or int(text) < 1:
        raise ValueError(
            f"{shortened(cell)} is not a number of pieces. Write a whole number, or leave it blank"
        )
    return int(text)


def number(text: str, cell: str, decimal_commas: bool) -> Decimal:
    """A number in any of the usual ways of writing one, without sign or unit.

    cell: what a fault quotes. Raises ValueError where it is none, or can be read in two ways
    in a list that shows decimal commas.
    """
    digits = _GAPS.sub("", text.strip())
    if _POINT.fullmatch(digits):
        if decimal_commas and _GROUPED_BY_POINT.fullmatch(digits):
            raise _ambiguous(cell)
        return Decimal(digits)
    if _COMMA.fullmatch(digits) and not _GROUPED_BY_COMMA.fullmatch(digits):
        return Decimal(digits.replace(",", "."))
    if _GROUPED_BY_COMMA.fullmatch(digits):
        if decimal_commas and digits.count(",") == 1 and "." not in digits:
            raise _ambiguous(cell)
        return Decimal(digits.replace(",", ""))
    if _GROUPED_BY_POINT.fullmatch(digits):
        return Decimal(digits.replace(".", "").replace(",", "."))
    raise ValueError(f"{shortened(cell)} is not a number. Write it plainly, such as 1234.50")


def _ambiguous(cell: str) -> ValueError:
    return ValueError(
        f"{shortened(cell)} can be read in two ways in a list that has decimal commas. "
        "Write it without a thousands separator and with two decimals"
    )


def shortened(cell: str) -> str:
    """A cell in quotation marks, at most 40 characters of it."""
    text = cell.strip()
    return repr(text if len(text) <= 40 else text[:37] + "...")
