"""Catalogue items, matches and the purchase plan as frozen records."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from estimator.catalogue.columns.mapping import ColumnMapping
from estimator.catalogue.files.table import SheetLeftOut
from estimator.finding import Fault, Finding
from estimator.record import quick
from estimator.takeoff.records import Attributes, Part, Unit

# What a printed price is for. "pack": for the whole pack, a reel or a box.
PriceBasis = Literal[
    "each", "pair", "dozen", "gross", "hundred", "thousand",
    "inch", "foot", "yard", "hundred_feet", "thousand_feet",
    "metre", "hundred_metres", "thousand_metres", "pack",
]  # fmt: skip
MatchKind = Literal["exact", "confirmed", "proposed", "unpriced"]
# How a printed line is served: also by what is at hand, or by what a kit holds.
ServedBy = Literal["exact", "confirmed", "proposed", "unpriced", "stock", "kit"]
ReadFrom = Literal["columns", "confirmed", "description"]
_NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class PriceBreak:
    """A price that holds for a whole line of from_packs packs or more. unit_price: four places."""

    from_packs: int
    unit_price: Decimal


@dataclass(frozen=True, slots=True)
class Covered:
    """What one pack of a kit holds of a part: quantity in the unit of its kind."""

    kind: str
    attributes: Attributes
    quantity: Decimal


@quick
@dataclass(frozen=True, slots=True)
class Item:
    """One thing a supplier sells.

    unit: what quantity is counted in ("ea" or "ft"). pack: how many units are sold at once
    (1 = singly or by the foot; 500 = a 500-ft reel). unit_price: money for one unit, four
    places, already freed from "per hundred" and the like. printed_price and price_basis:
    as the list had them. row: row number in the list. pieces: for goods by length, how many
    separate pieces of equal length a pack is (10 for a bundle of ten sticks).
    pack has at most four decimals. read_from: where kind and attributes come from: the list's
    own columns, a match that a person confirmed, or the description as we read it. supposed:
    what that reading took for granted, as sentences.
    unit_price is net: after the list's multiplier. breaks: from the fewest packs up, the first
    above one pack. minimum_packs, pack_increment: fewest packs that are sold, and the step in
    packs above it. valid_from, valid_until: first and last day of the price. covers: what a
    kit holds; empty for all else.
    """

    supplier: str
    number: str
    description: str
    kind: str
    attributes: Attributes
    unit: Unit
    pack: Decimal
    unit_price: Decimal
    printed_price: Decimal
    price_basis: PriceBasis
    currency: str
    row: int
    pieces: int = 1
    read_from: ReadFrom = "columns"
    supposed: tuple[str, ...] = ()
    breaks: tuple[PriceBreak, ...] = ()
    minimum_packs: int = 1
    pack_increment: int = 1
    valid_from: date | None = None
    valid_until: date | None = None
    lead_time_days: int | None = None
    discontinued: bool = False
    replaced_by: str = ""
    gtin: str = ""
    covers: tuple[Covered, ...] = ()
    sheet: str = ""

    @property
    def pack_price(self) -> Decimal:
        """Money for one pack by itself, not rounded."""
        return self.unit_price * self.pack

    def unit_price_of(self, packs: int) -> Decimal:
        """Money for one unit in a line of so many packs: a break prices all packs of it."""
        reached = [level for level in self.breaks if level.from_packs <= packs]
        if not reached:
            return self.unit_price
        return max(reached, key=lambda level: level.from_packs).unit_price


@dataclass(frozen=True, slots=True)
class UnreadRow:
    """A row that can be priced but whose description does not tell for sure what is sold.

    why: what is missing, ambiguous or not understood. kind, known: what was read of it.
    """

    row: int
    supplier: str
    number: str
    description: str
    why: str
    kind: str | None
    known: Attributes
    sheet: str = ""


@dataclass(frozen=True, slots=True)
class PassedOver:
    """A row of a file that is no item: sheet ("" for a text), number of the row, why, and the
    text that stands in it (a part of it).
    """

    sheet: str
    row: int
    why: str
    text: str


@dataclass(frozen=True, slots=True)
class PriceList:
    """A price list as read: every row is an item or a reported row.

    digest: SHA-256 of the bytes read, so that a result can name what it was priced from.
    rejected: every fault; a row may have several. rows_rejected: rows with at least one.
    unread: rows without a fault whose description was not understood, so that
    rows_read = len(items) + rows_rejected + len(unread). doubts: cells that cannot be right and
    were left out of items that are used all the same. read_as: what was concluded about the
    whole list from its rows, as sentences.
    """

    name: str
    supplier: str
    digest: str
    items: tuple[Item, ...]
    rows_read: int
    rejected: tuple[Fault, ...]
    rows_rejected: int
    unread: tuple[UnreadRow, ...] = ()
    doubts: tuple[Fault, ...] = ()
    read_as: tuple[str, ...] = ()
    passed_over: tuple[PassedOver, ...] = ()
    rows_passed_over: int = 0
    rows_blank: int = 0
    mappings: tuple[ColumnMapping, ...] = ()
    left_out: tuple[SheetLeftOut, ...] = ()

    @property
    def items_read(self) -> int:
        """Rows that became items; a kept list holds here only those that a job may use."""
        return self.rows_read - self.rows_rejected - len(self.unread)

    @property
    def in_part(self) -> bool:
        """Whether only some of its items are here."""
        return len(self.items) < self.items_read

    @property
    def rows_in_file(self) -> int:
        """All rows of the sheets that were read, up to the last that holds something."""
        return self.rows_read + self.rows_passed_over + self.rows_blank


@quick
@dataclass(frozen=True, slots=True)
class Bought:
    """Packs of one item bought for one part. packs whole; quantity in the item's unit."""

    item: Item
    packs: int
    quantity: Decimal

    @property
    def unit_price(self) -> Decimal:
        """Money for one unit, four places, at the quantity break that the packs reach."""
        return self.item.unit_price_of(self.packs) if self.item.breaks else self.item.unit_price


@dataclass(frozen=True, slots=True)
class KitBought:
    """Packs of a kit. serves: position of each part, its quantity taken, what is left of it."""

    item: Item
    packs: int
    serves: tuple[tuple[int, Decimal, Decimal], ...]

    @property
    def unit_price(self) -> Decimal:
        """Money for one unit of the kit, at the quantity break that the packs reach."""
        return self.item.unit_price_of(self.packs)


@dataclass(frozen=True, slots=True)
class SupplierTerms:
    """What a supplier asks beside its prices, in money of a currency.

    minimum_order: least goods that it sells. delivery_fee: due once, where goods are less than
    free_delivery_from (None: however much is bought).
    """

    supplier: str
    minimum_order: Decimal
    delivery_fee: Decimal
    free_delivery_from: Decimal | None
    currency: str


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """What is ordered from one supplier.

    goods: before lines are rounded to the cent; what minimum and free delivery are held
    against. delivery_fee: as due. lines: different items.
    """

    supplier: str
    goods: Decimal
    delivery_fee: Decimal
    minimum_order: Decimal
    free_delivery_from: Decimal | None
    terms_fee: Decimal
    lines: int


@quick
@dataclass(frozen=True, slots=True)
class Purchase:
    """How one part is bought.

    bought: empty when unpriced; largest pack first. leftover: bought minus needed, zero when
    unpriced. match: exact or confirmed where the items are known to be the part, proposed
    where a person has yet to say so, unpriced with no item. optimal: proven cheapest.
    score: of a proposed match, 1 for a reading that took nothing for granted. reasons: why it
    is proposed, as sentences.
    """

    part: Part
    match: MatchKind
    bought: tuple[Bought, ...]
    leftover: Decimal
    optimal: bool
    score: Decimal | None = None
    reasons: tuple[str, ...] = ()
    gap: Decimal = _NOTHING
    from_stock: Decimal = _NOTHING
    from_kits: Decimal = _NOTHING


@dataclass(frozen=True, slots=True)
class PurchasePlan:
    """How all parts are bought, in the order of the parts.

    findings: what the price lists and the search have to tell the user. kits: in order of
    their first part. terms: of suppliers in the currency of the plan. gap: where the plan is
    not proven the cheapest, the money by which a cheaper one could be below it at most.
    """

    purchases: tuple[Purchase, ...]
    optimal: bool
    findings: tuple[Finding, ...] = ()
    kits: tuple[KitBought, ...] = ()
    terms: tuple[SupplierTerms, ...] = ()
    gap: Decimal = _NOTHING

    @property
    def orders(self) -> tuple[SupplierOrder, ...]:
        """What is ordered from each supplier, in order of name."""
        goods: dict[str, Decimal] = {}
        lines: dict[str, int] = {}
        for each in self._all_bought():
            name = each.item.supplier
            money = each.unit_price * each.item.pack * each.packs
            goods[name] = goods.get(name, _NOTHING) + money
            lines[name] = lines.get(name, 0) + 1
        terms = {each.supplier.casefold(): each for each in self.terms}
        return tuple(
            _order(name, goods[name], lines[name], terms.get(name.casefold()))
            for name in sorted(goods)
        )

    def _all_bought(self) -> Iterator[Bought | KitBought]:
        for purchase in self.purchases:
            yield from purchase.bought
        yield from self.kits


def _order(name: str, goods: Decimal, lines: int, terms: SupplierTerms | None) -> SupplierOrder:
    if terms is None:
        return SupplierOrder(name, goods, _NOTHING, _NOTHING, None, _NOTHING, lines)
    free = terms.free_delivery_from is not None and goods >= terms.free_delivery_from
    return SupplierOrder(
        supplier=name,
        goods=goods,
        delivery_fee=_NOTHING if free else terms.delivery_fee,
        minimum_order=terms.minimum_order,
        free_delivery_from=terms.free_delivery_from,
        terms_fee=terms.delivery_fee,
        lines=lines,
    )
