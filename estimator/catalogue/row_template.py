"""Rows that differ in number, description, price and GTIN alone, read quickly.

A list repeats few combinations of kind, attributes, unit, pack and terms many times. Once a row
was read in full, the next ones like it need only what differs.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from operator import itemgetter
from typing import Any

from estimator.catalogue.formula_text import STARTS
from estimator.catalogue.gtin import read_gtin
from estimator.catalogue.header import Column
from estimator.catalogue.records import Item
from estimator.catalogue.row_goods import Goods
from estimator.catalogue.units_of_measure import load_price_bases
from estimator.catalogue.written_price import read_price
from estimator.money import UNIT_PRICE_STEP, to_unit_price

_OWN: frozenset[Column] = frozenset({"item number", "description", "price", "gtin"})
_ONE = Decimal(1)
_MOST_KEPT = 65_536
# What a cell of the column price comes to: as printed, and for one unit.
Prices = dict[str, tuple[Decimal, Decimal]]


class RowShape:
    """Where the cells of a list stand that rows of one template share, and those they do not."""

    def __init__(self, place: Mapping[Column, int], price: Column) -> None:
        own = _OWN | {price}
        shared = [at for column, at in place.items() if column not in own]
        self.shared: Any = itemgetter(*shared) if shared else None
        self.number = place["item number"]
        self.price = place[price]
        self.description = place.get("description")
        self.gtin = place.get("gtin")
        self.reach = max(place.values()) + 1
        self._prices: dict[tuple[str, Decimal, Decimal], Prices] = {}

    def prices(self, currency: str, over: Decimal, units: Decimal) -> Prices:
        """Where prices for so many units are remembered: most stand in a list more than once."""
        return self._prices.setdefault((currency, over, units), {})


@dataclass(frozen=True, slots=True)
class RowTemplate:
    """What rows of a list share. item: the first of them. over, units: to the price of one."""

    goods: Goods
    item: Item
    supplier: str
    over: Decimal
    units: Decimal
    decimal_commas: bool
    prices: Prices

    def read(self, row: int, cells: Sequence[str], shape: RowShape) -> tuple[Item, Decimal] | None:
        """The item of a row and its price; None for a row that has to be read in full."""
        number = cells[shape.number].strip()
        at = shape.description
        description = "" if at is None else cells[at].strip()
        if not number or "+" in number or number[0] in STARTS or description[:1] in STARTS:
            return None
        first, gtin = self.item, ""
        known = self.prices.get(cells[shape.price])
        try:
            if known is None:
                known = self._price(cells[shape.price])
            if shape.gtin is not None:
                gtin = read_gtin(cells[shape.gtin])
        except ValueError:
            return None
        if known is None:
            return None
        price, unit_price = known
        return (
            Item(
                self.supplier, number, description or self.goods.label, first.kind,
                first.attributes, first.unit, first.pack, unit_price, price, first.price_basis,
                first.currency, row, first.pieces, first.read_from, first.supposed, (), 1, 1,
                first.valid_from, first.valid_until, first.lead_time_days, first.discontinued,
                first.replaced_by, gtin, first.covers,
            ),
            price,
        )  # fmt: skip

    def _price(self, cell: str) -> tuple[Decimal, Decimal] | None:
        """A price and what one costs; None where there is more to it. Raises ValueError."""
        price, unit = read_price(cell.strip(), self.item.currency, self.decimal_commas)
        one = price if self.over is self.units else price * self.over / self.units
        unit_price = to_unit_price(one)
        if unit or unit_price < UNIT_PRICE_STEP:
            return None
        if len(self.prices) >= _MOST_KEPT:
            self.prices.clear()
        self.prices[cell] = known = (price, unit_price)
        return known


def template_of(goods: Goods, item: Item, decimal_commas: bool, shape: RowShape) -> RowTemplate:
    """What the rows like that of an item share."""
    if item.price_basis == "pack":
        over, units = _ONE, item.pack
    else:
        row = load_price_bases()[item.price_basis]
        over, units = row.over, row.units
    if over == units:
        over = units
    prices = shape.prices(item.currency, over, units)
    return RowTemplate(goods, item, item.supplier, over, units, decimal_commas, prices)
