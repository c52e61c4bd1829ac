"""Finding the items that can serve a part: the same kind with the same attributes."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.catalogue.list_sheets import place
from estimator.catalogue.may_differ import looks_apart
from estimator.catalogue.out_of_line import out_of_line
from estimator.catalogue.records import Item, PriceList
from estimator.finding import Finding
from estimator.takeoff.records import Attributes, Part, Unit

# Whole numbers make the search exact and fast: quantities in ten-thousandths of a unit,
# money in ten-thousandths of a unit price, so a pack's price is size x rate without rounding.
STEPS_PER_UNIT = 10_000
_NAMED_ROWS = 3

Key = tuple[str, Unit, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Offer:
    """An item in whole numbers.

    rate: price of one unit, in 1/10,000 of the currency. size: units in a pack, in 1/10,000.
    price: of a pack (rate x size). pieces: pieces in a pack, each ``length`` long. by_foot:
    any whole number of feet can be bought as one piece. levels: from the fewest packs up, the
    price of each pack of a line of so many or more. minimum, increment: fewest packs of a
    line, and the step in packs above it. plain: none of these three changes anything.
    """

    item: Item
    rate: int
    size: int
    price: int
    pieces: int
    length: int
    by_foot: bool
    levels: tuple[tuple[int, int], ...] = ()
    minimum: int = 1
    increment: int = 1
    plain: bool = True


@dataclass(frozen=True, slots=True)
class ItemIndex:
    """All usable items by what they are; made once per catalogue, used for many estimates.

    offers: by kind, unit and attribute values without regard to letter case; the cheapest
    unit first, then the larger pack, then by item number, supplier, list and row.
    worth_buying: the same less those that no purchase is better with. described: offers that
    are known from their description alone, which a person has yet to confirm. near: all offers
    whose looks may differ, by kind, unit and attributes without those looks; those that are
    known for sure first. kits: offers that hold several parts. has_confirmed: whether any offer
    is one that a person confirmed. plain: no offer has a quantity break, a minimum or a step.
    suppliers: of all items, in any currency. digests: SHA-256 of each price list, in order.
    findings: what was left out, and why.
    """

    currency: str
    offers: Mapping[Key, tuple[Offer, ...]]
    worth_buying: Mapping[Key, tuple[Offer, ...]]
    described: Mapping[Key, tuple[Offer, ...]]
    near: Mapping[Key, tuple[Offer, ...]]
    kits: tuple[Offer, ...]
    plain: bool
    has_confirmed: bool
    suppliers: frozenset[str]
    digests: tuple[str, ...]
    findings: tuple[Finding, ...]


def index_items(lists: Sequence[PriceList], currency: str) -> ItemIndex:
    """The items of all price lists in one currency, ready to be matched.

    Items in another currency are left out and counted in a finding; so are reported rows.
    An item that stands in two lists with different prices is kept in both, with a warning.
    Raises ValueError for an item whose pack or unit price has more than four decimals.
    """
    found: _Ordered = defaultdict(list)
    described: _Ordered = defaultdict(list)
    near: _Ordered = defaultdict(list)
    kits: list[tuple[tuple[int | str, ...], Offer]] = []
    has_confirmed = False
    plain = True
    for position, price_list in enumerate(lists):
        for item in price_list.items:
            if item.currency != currency:
                continue
            offer = _offer(item)
            unsure = item.read_from == "description"
            has_confirmed = has_confirmed or item.read_from == "confirmed"
            plain = plain and offer.plain
            order = (offer.rate, -offer.size, item.number, item.supplier, position, item.row)
            if item.covers:
                kits.append((order, offer))
                continue
            key = key_of(item.kind, item.unit, item.attributes)
            (described if unsure else found)[key].append((order, offer))
            apart = looks_apart(item.kind, item.attributes)
            if apart is not None:
                key = key_of(item.kind, item.unit, apart)
                near[key].append(((int(unsure), *order), offer))
    offers = _in_order(found)
    findings = [
        finding
        for price_list in lists
        for finding in (
            _other_currency(price_list, currency),
            _rejected_rows(price_list),
            _unread_rows(price_list),
        )
        if finding is not None
    ]
    findings += _in_two_lists(lists)
    findings += out_of_line(lists, currency)
    needed = {key: without_dominated(ordered) for key, ordered in offers.items()}
    digests = tuple(each.digest for each in lists)
    return ItemIndex(
        currency,
        offers,
        needed,
        _in_order(described),
        _in_order(near),
        tuple(offer for _, offer in sorted(kits, key=lambda entry: entry[0])),
        plain,
        has_confirmed,
        frozenset(item.supplier for price_list in lists for item in price_list.items),
        digests,
        tuple(findings),
    )


_Ordered = dict[Key, list[tuple[tuple[int | str, ...], Offer]]]


def _in_order(found: _Ordered) -> Mapping[Key, tuple[Offer, ...]]:
    return {
        key: tuple(offer for _, offer in sorted(entries, key=lambda entry: entry[0]))
        for key, entries in found.items()
    }


def offers_for(part: Part, index: ItemIndex) -> tuple[Offer, ...]:
    """The offers of exactly this part, cheapest unit first; empty when there is none."""
    return index.offers.get(key_of(part.kind, part.unit, part.attributes), ())


def worth_buying(part: Part, index: ItemIndex) -> tuple[Offer, ...]:
    """The offers of exactly this part that a cheapest purchase can need, in their order."""
    return index.worth_buying.get(key_of(part.kind, part.unit, part.attributes), ())


def without_dominated(offers: Sequence[Offer]) -> tuple[Offer, ...]:
    """Offers less those for which another is at least as large in every piece and cheaper.

    offers: as ordered in an ItemIndex, so that what dominates an offer stands before it. Of
    offers that are alike but for the item only the first stays. What is sold by the foot
    gives way to nothing else: it alone gives a piece of any length.
    """
    kept: list[Offer] = []
    for offer in offers:
        if not any(_makes_needless(other, offer) for other in kept):
            kept.append(offer)
    return tuple(kept)


def _makes_needless(other: Offer, offer: Offer) -> bool:
    if not (other.plain and offer.plain):
        return False
    if other.rate == offer.rate:
        alike = (other.size, other.pieces) == (offer.size, offer.pieces)
        return alike and other.by_foot == offer.by_foot
    return (
        (other.by_foot or not offer.by_foot)
        and other.price < offer.price
        and other.length >= offer.length
        and other.pieces >= offer.pieces
    )


def steps(amount: Decimal) -> int:
    """A quantity in whole ten-thousandths of a unit, rounded up."""
    scaled = amount * STEPS_PER_UNIT
    whole = int(scaled)
    return whole if whole == scaled else whole + 1


def key_of(kind: str, unit: Unit, attributes: Attributes) -> Key:
    """What identifies a part: letter case of its values does not matter."""
    return (kind, unit, tuple([value.casefold() for _, value in attributes]))


def _offer(item: Item) -> Offer:
    rate, size = item.unit_price * STEPS_PER_UNIT, item.pack * STEPS_PER_UNIT
    if rate % 1 or size % item.pieces or rate <= 0 or size <= 0:
        raise ValueError(
            f"item {item.number}: unit price {item.unit_price} or pack {item.pack} has more than "
            "four decimals, or is not above zero"
        )
    levels = tuple(
        (level.from_packs, int(level.unit_price * STEPS_PER_UNIT) * int(size))
        for level in sorted(item.breaks, key=lambda level: level.from_packs)
    )
    return Offer(
        item=item,
        rate=int(rate),
        size=int(size),
        price=int(rate) * int(size),
        pieces=item.pieces,
        length=int(size) // item.pieces,
        by_foot=item.unit == "ft" and item.pack == 1,
        levels=levels,
        minimum=item.minimum_packs,
        increment=item.pack_increment,
        plain=not levels and item.minimum_packs == item.pack_increment == 1,
    )


def _other_currency(price_list: PriceList, currency: str) -> Finding | None:
    others = [item.currency for item in price_list.items if item.currency != currency]
    if not others:
        return None
    return Finding(
        "warning",
        "ITEMS_IN_OTHER_CURRENCY",
        f"{len(others)} of {len(price_list.items)} items of {price_list.name} are priced in "
        f"{', '.join(sorted(set(others)))}, not in {currency}; they were left out.",
        "/terms/currency",
        "price_list",
        f"Use a price list in {currency}, or set the currency of the terms to that of the list.",
    )


def _rejected_rows(price_list: PriceList) -> Finding | None:
    if not price_list.rejected:
        return None
    first = "; ".join(
        f"{fault.where}: {fault.message}" for fault in price_list.rejected[:_NAMED_ROWS]
    )
    more = " ..." if len(price_list.rejected) > _NAMED_ROWS else ""
    return Finding(
        "warning",
        "PRICE_LIST_ROWS_LEFT_OUT",
        f"{price_list.rows_rejected} of {price_list.rows_read} rows of {price_list.name} could "
        f"not be used. {first}{more}",
        "",
        "price_list",
        "Correct these rows and read the list again.",
    )


def _unread_rows(price_list: PriceList) -> Finding | None:
    if not price_list.unread:
        return None
    first = "; ".join(
        f"{place(row.sheet, row.row)}, {row.description!r}: {row.why}"
        for row in price_list.unread[:_NAMED_ROWS]
    )
    more = " ..." if len(price_list.unread) > _NAMED_ROWS else ""
    return Finding(
        "warning",
        "PRICE_LIST_ROWS_NOT_UNDERSTOOD",
        f"{len(price_list.unread)} of {price_list.rows_read} rows of {price_list.name} have a "
        f"description that does not tell for sure what is sold; they were left out. {first}{more}",
        "",
        "price_list",
        "Confirm what these items are (supplier, item number, kind, attributes), or check the "
        "list to see all of them.",
    )


def _in_two_lists(lists: Sequence[PriceList]) -> list[Finding]:
    if len(lists) < 2:
        return []
    seen: dict[tuple[str, str], Item] = {}
    differing: list[str] = []
    for price_list in lists:
        for item in price_list.items:
            first = seen.setdefault((item.supplier, item.number), item)
            if (first.unit_price, first.pack, first.currency) != (
                item.unit_price,
                item.pack,
                item.currency,
            ):
                differing.append(item.number)
    if not differing:
        return []
    named = ", ".join(differing[:_NAMED_ROWS]) + (" ..." if len(differing) > _NAMED_ROWS else "")
    return [
        Finding(
            "warning",
            "ITEM_IN_TWO_LISTS",
            f"{len(differing)} items of one supplier stand in two price lists with different "
            f"prices or packs ({named}); whichever is cheaper for the job was used.",
            "",
            "price_list",
            "Leave out the price list that no longer holds.",
        )
    ]
