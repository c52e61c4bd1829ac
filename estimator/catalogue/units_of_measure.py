"""What a price is "per": the words and codes that price lists use, and what they mean."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Literal

from estimator.catalogue.records import PriceBasis
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.takeoff.records import Unit

Meaning = Literal[
    "each", "hundred", "thousand", "foot", "hundred_feet", "thousand_feet", "package", "other"
]
Family = Literal["pieces", "feet", "counted"]

UNITS_PER_PRICE: Mapping[PriceBasis, Decimal] = {
    "each": Decimal(1),
    "hundred": Decimal(100),
    "thousand": Decimal(1000),
    "foot": Decimal(1),
    "hundred_feet": Decimal(100),
    "thousand_feet": Decimal(1000),
}
PRICE_UNITS = "EA, C or M for pieces; FT, CFT or MFT for goods by length"

# A bare hundred or thousand counts whatever the goods are counted in.
_BASIS: Mapping[tuple[Unit, Meaning], PriceBasis] = {
    ("ea", "each"): "each",
    ("ea", "hundred"): "hundred",
    ("ea", "thousand"): "thousand",
    ("ft", "foot"): "foot",
    ("ft", "hundred"): "hundred_feet",
    ("ft", "hundred_feet"): "hundred_feet",
    ("ft", "thousand"): "thousand_feet",
    ("ft", "thousand_feet"): "thousand_feet",
}
_UNIT_WORD: Mapping[Unit, str] = {"ea": "by the piece", "ft": "by length"}


@dataclass(frozen=True, slots=True)
class UnitOfMeasure:
    """A spelling of a unit. written: upper case, as normalised by ``read_meaning``."""

    written: str
    meaning: Meaning
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


def read_meaning(cell: str) -> Meaning:
    """What a unit cell means: "per C" and "/c" are a hundred.

    Raises ValueError saying what can stand there: blank, unknown, a package without stated
    contents, or a measure that our parts are not counted in.
    """
    text = " ".join(cell.upper().split())
    text = text.removeprefix("PER ").removeprefix("/").removesuffix(".").strip()
    if not text:
        raise ValueError(f"is blank; what is the price for? Write {PRICE_UNITS}")
    unit = load_units_of_measure().get(text)
    if unit is None:
        raise ValueError(f"{cell.strip()!r} is not a unit we know. Write {PRICE_UNITS}")
    if unit.meaning == "package":
        raise ValueError(
            f"{cell.strip()!r} does not say how much it contains. Write the price for "
            f"{PRICE_UNITS}, and the contents in column pack"
        )
    if unit.meaning == "other":
        raise ValueError(
            f"{cell.strip()!r} is not a unit that parts are counted in. Write {PRICE_UNITS}"
        )
    return unit.meaning


def family(meaning: Meaning) -> Family:
    """Whether a unit counts pieces, feet, or (a bare hundred or thousand) either."""
    if meaning == "each":
        return "pieces"
    return "counted" if meaning in ("hundred", "thousand") else "feet"


def price_basis(meaning: Meaning, unit: Unit, kind: str) -> PriceBasis:
    """The basis of a price for goods of a kind counted in ``unit``.

    Raises ValueError when pieces are priced by the foot or lengths by the piece.
    """
    basis = _BASIS.get((unit, meaning))
    if basis is None:
        can = "EA, C or M" if unit == "ea" else "FT, CFT or MFT"
        raise ValueError(
            f"{meaning.replace('_', ' ')!r} cannot be: {kind} is sold {_UNIT_WORD[unit]}. "
            f"Write {can}"
        )
    return basis
