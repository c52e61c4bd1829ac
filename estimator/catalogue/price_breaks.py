"""Quantity breaks, minimum orders and increments, turned into whole packs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from estimator.catalogue.header import BREAK_PRICES, BREAK_QUANTITIES, Column
from estimator.catalogue.list_rules import BreaksCount, ListRules
from estimator.catalogue.quantities import Quantity, read_quantity, units_of
from estimator.catalogue.records import PriceBasis, PriceBreak
from estimator.catalogue.row_faults import ColumnFault, RowFaults
from estimator.catalogue.units_of_measure import per_unit
from estimator.catalogue.written_price import read_price
from estimator.money import to_unit_price


@dataclass(frozen=True, slots=True)
class PackMeasure:
    """What quantities of a row are turned into packs by.

    content: pieces or feet in a pack, exactly. pack: the same as Item has it. each: pieces or
    feet in one that the row counts, such as a metre. feet: counted by length. by_foot: sold
    by the foot, so any whole number of feet is a number of packs.
    """

    content: Fraction
    pack: Decimal
    each: Fraction
    feet: bool
    by_foot: bool
    basis: PriceBasis
    currency: str


@dataclass(frozen=True, slots=True)
class OrderTerms:
    """How an item may be ordered; base_price: from the first break where the row has no other."""

    breaks: tuple[PriceBreak, ...] = ()
    minimum_packs: int = 1
    pack_increment: int = 1


ANY_QUANTITY = OrderTerms()


def read_order_terms(
    cell: Mapping[Column, str], measure: PackMeasure, unit_price: Decimal, rules: ListRules
) -> OrderTerms:
    """Breaks, minimum order and increment of a row, in whole packs.

    unit_price: of the base price, four places. A quantity counts pieces or feet (metres where
    the price is metric); packs where the price is for one, or the unit beside it or the list's
    setting say so. Raises RowFaults with every fault.
    """
    faults: list[ColumnFault] = []
    minimum, increment = 1, 1
    breaks: tuple[PriceBreak, ...] = ()
    try:
        minimum = _minimum(cell.get("minimum order", ""), measure, rules)
    except RowFaults as error:
        faults += error.faults
    try:
        increment = _increment(cell.get("increment", ""), measure, rules)
    except RowFaults as error:
        faults += error.faults
    try:
        breaks = _breaks(cell, measure, unit_price, rules)
    except RowFaults as error:
        faults += error.faults
    if faults:
        raise RowFaults(tuple(faults))
    if minimum == increment == 1 and not breaks:
        return ANY_QUANTITY
    return OrderTerms(breaks, minimum, increment)


def packs_in(quantity: Quantity, measure: PackMeasure, count: BreaksCount | None) -> Fraction:
    """Packs in a quantity, not rounded. Raises ValueError for a unit of other goods."""
    unit = quantity.unit
    if unit is None:
        if count == "packs" or (count is None and measure.basis == "pack"):
            return Fraction(quantity.amount)
        return Fraction(quantity.amount) * measure.each / measure.content
    if unit.meaning in ("package", "set"):
        return Fraction(quantity.amount)
    units = units_of(quantity.amount, unit, measure.feet)
    if units is None:
        raise ValueError(f"counts in {unit.written}, which these goods are not counted in")
    return units / measure.content


def _minimum(text: str, measure: PackMeasure, rules: ListRules) -> int:
    with RowFaults.within("minimum order"):
        quantity = read_quantity(text, rules.decimal_commas)
        return 1 if quantity is None else ceil(packs_in(quantity, measure, rules.breaks_count))


def _increment(text: str, measure: PackMeasure, rules: ListRules) -> int:
    with RowFaults.within("increment"):
        quantity = read_quantity(text, rules.decimal_commas)
        if quantity is None:
            return 1
        packs = packs_in(quantity, measure, rules.breaks_count)
        if packs.denominator == 1:
            return int(packs)
        # A pack that holds whole steps can always be bought one by one.
        if (1 / packs).denominator == 1:
            return 1
        if measure.by_foot:
            return ceil(packs)
        raise ValueError(f"{text.strip()!r} is not a whole number of packs, nor a pack of them")


def _breaks(
    cell: Mapping[Column, str], measure: PackMeasure, unit_price: Decimal, rules: ListRules
) -> tuple[PriceBreak, ...]:
    if not any(at in cell for at in BREAK_QUANTITIES):
        # Prices by class of customer.
        return ()
    found: list[PriceBreak] = []
    least, price = Fraction(1), unit_price
    until: Fraction | None = None
    pairs = [
        (at, name, cell.get(at, ""), cell.get(name, ""))
        for at, name in zip(BREAK_QUANTITIES, BREAK_PRICES, strict=True)
    ]
    written = [pair for pair in pairs if pair[2] or pair[3]]
    for place, (at, name, quantity_cell, price_cell) in enumerate(written):
        if not quantity_cell or not price_cell:
            column, what = (name, "price") if quantity_cell else (at, "quantity")
            raise RowFaults.of(column, f"is blank; a quantity break needs its {what}")
        with RowFaults.within(at):
            packs = _whole(quantity_cell, measure, rules, first=place == 0)
            _follows(packs, least, until, quantity_cell, first=place == 0)
        with RowFaults.within(name):
            printed, _ = read_price(price_cell, measure.currency, rules.decimal_commas)
            lower = to_unit_price(per_unit(printed, measure.basis, measure.pack))
            _cheaper(lower, price, price_cell, first=place == 0 and packs <= 1)
        if packs > 1:
            found.append(PriceBreak(int(packs), lower))
        least, price = packs, lower
        until = _until(quantity_cell, measure, rules)
    return tuple(found)


def _until(text: str, measure: PackMeasure, rules: ListRules) -> Fraction | None:
    """The last pack of a span such as 100-499."""
    quantity = read_quantity(text, rules.decimal_commas)
    if quantity is None or quantity.until is None:
        return None
    return packs_in(replace(quantity, amount=quantity.until), measure, rules.breaks_count)


def _whole(text: str, measure: PackMeasure, rules: ListRules, *, first: bool) -> Fraction:
    quantity = read_quantity(text, rules.decimal_commas)
    if quantity is None:
        raise ValueError("is blank; a quantity break needs its quantity")
    packs = packs_in(quantity, measure, rules.breaks_count)
    if first and (quantity.amount == 1 or packs == 1):
        return Fraction(1)
    if packs.denominator != 1 and not measure.by_foot:
        raise ValueError(
            f"{text.strip()!r} is not a whole number of packs of {measure.pack.normalize():f}. If "
            "quantities count packs, say it for the whole list, or write a unit such as 5 BX"
        )
    # By the foot a break in metres is reached at the next whole foot.
    return Fraction(ceil(packs))


def _follows(
    packs: Fraction, least: Fraction, until: Fraction | None, text: str, *, first: bool
) -> None:
    if not first and packs <= least:
        raise ValueError(f"{text.strip()!r} is not more than the break before")
    if until is not None and until >= packs:
        raise ValueError(f"{text.strip()!r} overlaps the break before")


def _cheaper(lower: Decimal, price: Decimal, text: str, *, first: bool) -> None:
    if lower <= 0:
        raise ValueError(f"{text.strip()!r} comes to less than 0.0001 for one")
    if first and lower != price:
        raise ValueError(
            f"{text.strip()!r} is for the first pack, but column price says something else"
        )
    if not first and lower >= price:
        raise ValueError(
            f"{text.strip()!r} is not cheaper than a smaller quantity. Check quantities and prices"
        )


def columns_of_breaks(columns: Sequence[Column]) -> bool:
    """Whether any of the columns says how an item may be ordered."""
    terms = {"minimum order", "increment", *BREAK_QUANTITIES}
    return any(column in terms for column in columns)
