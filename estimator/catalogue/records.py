"""Catalogue items, matches and the purchase plan as frozen records."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.finding import Fault, Finding
from estimator.takeoff.records import Attributes, Part, Unit

PriceBasis = Literal["each", "hundred", "thousand", "foot", "hundred_feet", "thousand_feet"]
MatchKind = Literal["exact", "confirmed", "proposed", "unpriced"]


@dataclass(frozen=True, slots=True)
class Item:
    """One thing a supplier sells.

    unit: what quantity is counted in ("ea" or "ft"). pack: how many units are sold at once
    (1 = singly or by the foot; 500 = a 500-ft reel). unit_price: money for one unit, four
    places, already freed from "per hundred" and the like. printed_price and price_basis:
    as the list had them. row: row number in the list. pieces: for goods by length, how many
    separate pieces of equal length a pack is (10 for a bundle of ten sticks).
    pack has at most four decimals.
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

    @property
    def pack_price(self) -> Decimal:
        """Money for one pack, not rounded."""
        return self.unit_price * self.pack


@dataclass(frozen=True, slots=True)
class PriceList:
    """A price list as read: every row is an item or a reported row.

    digest: SHA-256 of the bytes read, so that a result can name what it was priced from.
    rejected: every fault; a row may have several. rows_rejected: rows with at least one, so
    that rows_read = len(items) + rows_rejected.
    """

    name: str
    supplier: str
    digest: str
    items: tuple[Item, ...]
    rows_read: int
    rejected: tuple[Fault, ...]
    rows_rejected: int


@dataclass(frozen=True, slots=True)
class Bought:
    """Packs of one item bought for one part. packs whole; quantity in the item's unit."""

    item: Item
    packs: int
    quantity: Decimal


@dataclass(frozen=True, slots=True)
class Purchase:
    """How one part is bought.

    bought: empty when unpriced; largest pack first. leftover: bought minus needed, zero when
    unpriced. match: exact, or unpriced with no item. optimal: proven cheapest.
    """

    part: Part
    match: MatchKind
    bought: tuple[Bought, ...]
    leftover: Decimal
    optimal: bool


@dataclass(frozen=True, slots=True)
class PurchasePlan:
    """How all parts are bought, in the order of the parts.

    findings: what the price lists and the search have to tell the user.
    """

    purchases: tuple[Purchase, ...]
    optimal: bool
    findings: tuple[Finding, ...] = ()
