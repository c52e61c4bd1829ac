"""Catalogue items, matches and the purchase plan as frozen records."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from estimator.finding import Fault, Finding
from estimator.record import quick
from estimator.takeoff.records import Attributes, Part, Unit

PriceBasis = Literal["each", "hundred", "thousand", "foot", "hundred_feet", "thousand_feet"]
MatchKind = Literal["exact", "confirmed", "proposed", "unpriced"]
ReadFrom = Literal["columns", "confirmed", "description"]


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

    @property
    def pack_price(self) -> Decimal:
        """Money for one pack, not rounded."""
        return self.unit_price * self.pack


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


@dataclass(frozen=True, slots=True)
class PriceList:
    """A price list as read: every row is an item or a reported row.

    digest: SHA-256 of the bytes read, so that a result can name what it was priced from.
    rejected: every fault; a row may have several. rows_rejected: rows with at least one.
    unread: rows without a fault whose description was not understood, so that
    rows_read = len(items) + rows_rejected + len(unread).
    """

    name: str
    supplier: str
    digest: str
    items: tuple[Item, ...]
    rows_read: int
    rejected: tuple[Fault, ...]
    rows_rejected: int
    unread: tuple[UnreadRow, ...] = ()


@quick
@dataclass(frozen=True, slots=True)
class Bought:
    """Packs of one item bought for one part. packs whole; quantity in the item's unit."""

    item: Item
    packs: int
    quantity: Decimal


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


@dataclass(frozen=True, slots=True)
class PurchasePlan:
    """How all parts are bought, in the order of the parts.

    findings: what the price lists and the search have to tell the user.
    """

    purchases: tuple[Purchase, ...]
    optimal: bool
    findings: tuple[Finding, ...] = ()
