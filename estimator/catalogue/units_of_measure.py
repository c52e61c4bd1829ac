"""What a price is "per": the words and codes that price lists use, and what they mean."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from typing import Literal

from estimator.catalogue.records import PriceBasis
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.takeoff.records import Unit

Meaning = Literal[
    "each", "pair", "dozen", "gross", "hundred", "thousand",
    "inch", "foot", "yard", "hundred_feet", "thousand_feet",
    "metre", "hundred_metres", "thousand_metres",
    "package", "set", "other",
]  # fmt: skip
Family = Literal["pieces", "feet", "counted", "package"]
# What a bare "M" is: a thousand in one list, a metre in another.
BareM = Literal["thousand", "metre", "unknown"]

PRICE_UNITS = "EA, C or M for pieces; FT, CFT or MFT for goods by length"
_UNIT_WORD: Mapping[Unit, str] = {"ea": "by the piece", "ft": "by length"}
_BARE_M = "M"
_METRIC: frozenset[Meaning] = frozenset({"metre", "hundred_metres", "thousand_metres"})
_BARE_COUNTS: frozenset[Meaning] = frozenset({"hundred", "thousand"})
_PIECES: frozenset[Meaning] = frozenset({"each", "pair", "dozen", "gross"})


@dataclass(frozen=True, slots=True)
class UnitOfMeasure:
    """A spelling of a unit.

    written: upper case, as normalised by ``normal``. content: pieces in a package that its
    code tells, such as P5, a pack of five; None for others.
    """

    written: str
    meaning: Meaning
    content: Decimal | None
    source: str


@dataclass(frozen=True, slots=True)
class PriceBasisRow:
    """How many units a price is for: ``units / over`` pieces or feet, exactly."""

    basis: PriceBasis
    counts: Literal["pieces", "feet"]
    units: Decimal
    over: Decimal
    source: str


@cache
def load_units_of_measure() -> Mapping[str, UnitOfMeasure]:
    """The package's table of units by spelling, read once in a process."""
    name = "lexicon/units_of_measure.csv"
    rows = read_table(
        package_text("estimator.catalogue", name),
        UnitOfMeasure,
        name=name,
        key=("written",),
        sources=load_sources(),
    )
    return {row.written: row for row in rows}


@cache
def load_price_bases() -> Mapping[str, PriceBasisRow]:
    """The package's table of price bases, read once in a process."""
    name = "lexicon/price_bases.csv"
    rows = read_table(
        package_text("estimator.catalogue", name),
        PriceBasisRow,
        name=name,
        key=("basis",),
        sources=load_sources(),
    )
    return {row.basis: row for row in rows}


def normal(cell: str) -> str:
    """A unit as its table spells it: "per C" and "/c" are C."""
    text = " ".join(cell.upper().split())
    return text.removeprefix("PER ").removeprefix("/").removesuffix(".").strip()


def known_unit(cell: str) -> UnitOfMeasure | None:
    """The unit of a spelling; None for one that is not in the table."""
    return load_units_of_measure().get(normal(cell))


def is_metric(cell: str) -> bool:
    """Whether a unit can only be a metric length."""
    unit = known_unit(cell)
    return unit is not None and unit.meaning in _METRIC


def is_bare_m(cell: str) -> bool:
    """Whether a unit is the letter M alone."""
    return normal(cell) == _BARE_M


@lru_cache(maxsize=4096)
def read_unit(cell: str, bare_m: BareM = "thousand") -> UnitOfMeasure:
    """What a unit cell means; a package and a set are given back as such.

    bare_m: what the letter M alone is in this list. Raises ValueError saying what can stand
    there: blank, unknown, ambiguous, or a measure that our parts are not counted in.
    """
    text = normal(cell)
    if not text:
        raise ValueError(f"is blank; what is the price for? Write {PRICE_UNITS}")
    if text == _BARE_M and bare_m != "thousand":
        return _bare_m(bare_m)
    unit = load_units_of_measure().get(text)
    if unit is None:
        raise ValueError(f"{cell.strip()!r} is not a unit we know. Write {PRICE_UNITS}")
    if unit.meaning == "other":
        raise ValueError(
            f"{cell.strip()!r} is not a unit that parts are counted in. Write {PRICE_UNITS}"
        )
    return unit


def _bare_m(bare_m: BareM) -> UnitOfMeasure:
    if bare_m == "metre":
        return load_units_of_measure()["MTR"]
    raise ValueError(
        "'M' is a thousand in one list and a metre in another, and this list has metric signs. "
        "Say for the whole list which it is, or write MIL for a thousand, MTR for a metre"
    )


def needs_content(cell: str) -> str:
    """What is said of a price for a package whose contents are not known."""
    return (
        f"{cell.strip()!r} does not say how much it contains. Write the price for "
        f"{PRICE_UNITS}, or the contents in column pack"
    )


def family(meaning: Meaning) -> Family:
    """Whether a unit counts pieces, feet, packages, or (a bare hundred or thousand) either."""
    if meaning in _PIECES:
        return "pieces"
    if meaning in ("package", "set"):
        return "package"
    return "counted" if meaning in _BARE_COUNTS else "feet"


def price_basis(meaning: Meaning, unit: Unit, kind: str, bare_m: BareM = "thousand") -> PriceBasis:
    """The basis of a price for goods of a kind counted in ``unit``.

    A bare hundred or thousand counts whatever the goods are counted in: pieces or, in a list
    without metric signs, feet. Raises ValueError when pieces are priced by length, lengths by
    the piece, or a bare hundred may be feet or metres.
    """
    if meaning in ("package", "set"):
        return "pack"
    if meaning in _BARE_COUNTS and unit == "ft":
        if bare_m != "thousand":
            raise ValueError(
                f"a bare {meaning} of goods by length may be feet or metres in this list. "
                "Write CFT or MFT for feet, JPS or KMT for metres"
            )
        return "hundred_feet" if meaning == "hundred" else "thousand_feet"
    row = load_price_bases().get(meaning)
    if row is None or (row.counts == "feet") != (unit == "ft"):
        can = "EA, C or M" if unit == "ea" else "FT, CFT or MFT"
        raise ValueError(
            f"{meaning.replace('_', ' ')!r} cannot be: {kind} is sold {_UNIT_WORD[unit]}. "
            f"Write {can}"
        )
    return row.basis


def per_unit(price: Decimal, basis: PriceBasis, content: Decimal) -> Decimal:
    """Money for one piece or foot, not rounded (28 digits).

    content: units in the pack that a price of basis "pack" is for.
    """
    if basis == "pack":
        return price / content
    row = load_price_bases()[basis]
    return price * row.over / row.units
