"""Quantities as price lists write them: "100", "500 FT", "5 BX", "100+", "100-499"."""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from estimator.catalogue.figures import MAX_PACK, number, shortened
from estimator.catalogue.units_of_measure import UnitOfMeasure, known_unit, load_price_bases

_FORM = re.compile(
    r"(?:from|>=|≥|over)?\s*(?P<low>[0-9.,' ]*[0-9])\s*"
    r"(?:(?P<open>\+|and up|& up|or more)|(?:-|\u2013|to)\s*(?P<high>[0-9.,' ]*[0-9]))?"
    r"\s*(?P<unit>/?\s*[A-Za-z][A-Za-z0-9/. ]*)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """An amount above zero with its unit, None where none is written. until: of a span."""

    amount: Decimal
    unit: UnitOfMeasure | None
    until: Decimal | None


@lru_cache(maxsize=4096)
def read_quantity(cell: str, decimal_commas: bool) -> Quantity | None:
    """A quantity; None for a blank cell. Raises ValueError for anything else."""
    text = cell.strip()
    if not text:
        return None
    found = _FORM.fullmatch(text)
    if found is None or len(text) > 40:
        raise _no_quantity(cell)
    unit = known_unit(found["unit"]) if found["unit"] else None
    if found["unit"] and (unit is None or unit.meaning == "other"):
        raise _no_quantity(cell)
    try:
        amount = number(found["low"], cell, decimal_commas)
        until = number(found["high"], cell, decimal_commas) if found["high"] else None
    except ValueError:
        raise _no_quantity(cell) from None
    if not 0 < amount <= MAX_PACK or (until is not None and until < amount):
        raise _no_quantity(cell)
    return Quantity(amount, unit, until)


def units_of(amount: Decimal, unit: UnitOfMeasure, feet: bool) -> Fraction | None:
    """Pieces or feet in an amount of a unit, exactly.

    feet: the goods are counted in feet, so a bare hundred is a hundred feet. None for packages
    and for a unit that does not count such goods.
    """
    if unit.meaning in ("hundred", "thousand"):
        return Fraction(amount) * (100 if unit.meaning == "hundred" else 1000)
    row = load_price_bases().get(unit.meaning)
    if row is None or (row.counts == "feet") != feet:
        return None
    return Fraction(amount) * Fraction(row.units) / Fraction(row.over)


def _no_quantity(cell: str) -> ValueError:
    return ValueError(
        f"{shortened(cell)} is not a quantity above zero. Write a number, such as 100, with a "
        "unit where it does not count pieces or feet, such as 5 BX"
    )
