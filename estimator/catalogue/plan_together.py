"""All parts and all suppliers weighed together: from records to whole numbers and back."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.catalogue.buying.joint import Bought as Plan
from estimator.catalogue.buying.joint import buy_jointly
from estimator.catalogue.buying.needs import Kit, Line, Need, Seller, Way
from estimator.catalogue.buying.part_buyer import PartBuyer
from estimator.catalogue.cut_lengths import cut_lengths, in_sticks
from estimator.catalogue.match import (
    ItemIndex,
    Key,
    Offer,
    key_of,
    offers_for,
    steps,
    without_dominated,
)
from estimator.catalogue.propose import as_proposed, likely_offers
from estimator.catalogue.records import KitBought, Purchase, SupplierTerms
from estimator.catalogue.stock import Pieces
from estimator.catalogue.taken import Taken, taken_from_stock
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Part

# Money of offers is in 1/10,000 of a unit price times 1/10,000 of a unit.
_MONEY_PLACES = 8
_NOTHING = Decimal(0)

Covers = tuple[tuple[int, Pieces], ...]
SellerOf = Callable[[Offer], int]


@dataclass(frozen=True, slots=True)
class Together:
    """The plan. too_long: parts whose cuts no offer holds. limit: suppliers that were allowed.

    gap: money by which a cheaper plan could be below it at most.
    """

    purchases: tuple[Purchase, ...]
    kits: tuple[KitBought, ...]
    too_long: tuple[tuple[int, Sequence[Offer]], ...]
    limit: int | None
    gap: Decimal


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A part that can be had. place: its position. known: its offers are surely the part."""

    place: int
    offers: tuple[Offer, ...]
    known: bool


def kits_for(parts: Sequence[Part], index: ItemIndex) -> tuple[tuple[Offer, Covers], ...]:
    """Kits that hold any of the parts, with the position of each and the pieces in one pack."""
    place_of: dict[Key, int] = {
        key_of(part.kind, part.unit, part.attributes): place for place, part in enumerate(parts)
    }
    found: list[tuple[Offer, Covers]] = []
    for offer in index.kits:
        covers: dict[int, Pieces] = {}
        for held in offer.item.covers:
            kind = load_part_kinds().get(held.kind)
            if kind is None:
                continue
            place = place_of.get(key_of(held.kind, kind.unit, held.attributes))
            if place is None:
                continue
            amount = steps(held.quantity * offer.item.pack)
            joined = kind.stick and bool(parts[place].cuts_ft)
            covers[place] = covers.get(place, ()) + tuple(
                in_sticks(amount) if joined else (amount,)
            )
        if covers:
            found.append((offer, tuple(covers.items())))
    return tuple(found)


def plan_together(
    parts: Sequence[Part],
    index: ItemIndex,
    terms: Sequence[SupplierTerms],
    kits: Sequence[tuple[Offer, Covers]],
    at_hand: Mapping[int, Pieces],
    most: int | None,
) -> Together:
    """The cheapest purchase of all parts that can be had, on the suppliers' terms."""
    by_name = {each.supplier.casefold(): each for each in terms}
    wanted = [_wanted(place, part, index, by_name) for place, part in enumerate(parts)]
    names = _seller_names(wanted, kits, by_name, limited=most is not None)
    sellers = [_seller(name, by_name.get(name)) for name in names]
    at = {name: position for position, name in enumerate(names)}

    def seller_of(offer: Offer) -> int:
        return at.get(offer.item.supplier.casefold(), 0)

    needs: list[Need] = []
    kept: list[_Wanted] = []
    too_long: list[tuple[int, Sequence[Offer]]] = []
    from_kits = {place for _, covers in kits for place, _ in covers}
    for each in wanted:
        stock = at_hand.get(each.place, ())
        need = _need(parts[each.place], each.offers, stock, seller_of)
        if _can_be_had(need, len(sellers)) or (
            each.place in from_kits and _kits_can(need, each.place, kits, len(sellers))
        ):
            needs.append(need)
            kept.append(each)
        elif each.offers:
            too_long.append((each.place, each.offers))
    need_at = {each.place: position for position, each in enumerate(kept)}
    usable = [
        Kit(offer, seller_of(offer), covered)
        for offer, covers in kits
        if (covered := tuple((need_at[p], pieces) for p, pieces in covers if p in need_at))
    ]
    found, limit = _within(needs, usable, sellers, most)
    if found is None:
        unpriced = tuple(Purchase(part, "unpriced", (), _NOTHING, True) for part in parts)
        return Together(unpriced, (), tuple(too_long), limit, _NOTHING)
    return _back(parts, kept, needs, usable, found, at_hand, tuple(too_long), limit)


def _within(
    needs: Sequence[Need], kits: Sequence[Kit], sellers: Sequence[Seller], most: int | None
) -> tuple[Plan | None, int | None]:
    """The best plan with the fewest sellers from ``most`` on that can cover all needs."""
    limit = most
    while True:
        found = buy_jointly(needs, kits, sellers, limit)
        if found is not None or limit is None or limit >= len(sellers):
            return found, limit
        limit += 1


def _wanted(
    place: int, part: Part, index: ItemIndex, terms: Mapping[str, SupplierTerms]
) -> _Wanted:
    offers = offers_for(part, index)
    known = bool(offers)
    offers = offers or tuple(likely_offers(part, index))
    return _Wanted(place, _worth_looking_at(offers, terms), known)


def _worth_looking_at(
    offers: Sequence[Offer], terms: Mapping[str, SupplierTerms]
) -> tuple[Offer, ...]:
    """All different offers of suppliers that ask for a least sum; of others the undominated."""
    by_seller: dict[str, list[Offer]] = {}
    for offer in offers:
        by_seller.setdefault(offer.item.supplier.casefold(), []).append(offer)
    kept: list[Offer] = []
    for name, own in by_seller.items():
        asked = terms.get(name)
        if asked and (asked.minimum_order or asked.free_delivery_from):
            alike = {_shape(offer): offer for offer in reversed(own)}
            kept += alike.values()
        else:
            kept += without_dominated(own)
    return tuple(sorted(kept, key=lambda offer: (offer.rate, -offer.size, offer.item.number)))


def _shape(offer: Offer) -> tuple[object, ...]:
    return (
        offer.rate, offer.size, offer.pieces, offer.levels, offer.minimum, offer.increment,
    )  # fmt: skip


def _seller_names(
    wanted: Sequence[_Wanted],
    kits: Sequence[tuple[Offer, Covers]],
    terms: Mapping[str, SupplierTerms],
    *,
    limited: bool,
) -> list[str]:
    """Names in order; without a limit those without terms are as one, the first."""
    names = {offer.item.supplier.casefold() for each in wanted for offer in each.offers}
    names |= {offer.item.supplier.casefold() for offer, _ in kits}
    if limited:
        return sorted(names)
    return ["", *sorted(name for name in names if name in terms)]


def _seller(name: str, terms: SupplierTerms | None) -> Seller:
    if terms is None:
        return Seller(name)
    free = terms.free_delivery_from
    return Seller(
        name,
        _money(terms.minimum_order),
        _money(terms.delivery_fee),
        None if free is None else _money(free),
    )


def _money(amount: Decimal) -> int:
    return int(amount.scaleb(_MONEY_PLACES))


def _need(part: Part, offers: Sequence[Offer], stock: Pieces, seller_of: SellerOf) -> Need:
    cuts = tuple(sorted(cut_lengths(part), reverse=True))
    amount = sum(cuts) if cuts else steps(part.quantity)
    return Need(amount, cuts, tuple(Line(offer, seller_of(offer)) for offer in offers), stock)


def _kits_can(need: Need, place: int, kits: Sequence[tuple[Offer, Covers]], sellers: int) -> bool:
    """Whether a part can be had once there are as many of each kit as could be of use."""
    pieces = [piece for _, covers in kits for at, each in covers if at == place for piece in each]
    times = len(need.cuts) or -(-need.amount // sum(pieces))
    supplied = replace(need, at_hand=need.at_hand + tuple(pieces) * times)
    return _can_be_had(supplied, sellers)


def _can_be_had(need: Need, sellers: int) -> bool:
    return PartBuyer(need, sellers, 0).least((1 << sellers) - 1) is not None


def _back(
    parts: Sequence[Part],
    kept: Sequence[_Wanted],
    needs: Sequence[Need],
    kits: Sequence[Kit],
    plan: Plan,
    at_hand: Mapping[int, Pieces],
    too_long: tuple[tuple[int, Sequence[Offer]], ...],
    limit: int | None,
) -> Together:
    proven = plan.bound == plan.money
    purchases = [Purchase(part, "unpriced", (), _NOTHING, True) for part in parts]
    held: list[tuple[Decimal, ...]] = []
    for at, each in enumerate(kept):
        part = parts[each.place]
        in_stock = at_hand.get(each.place, ())
        need = replace(needs[at], at_hand=plan.at_hand[at])
        way = _as_way(need, plan.packs[at], plan.from_hand[at])
        taken = taken_from_stock(part, need, way, len(in_stock))
        held.append(taken.from_kits)
        purchases[each.place] = _purchase(part, each, taken, optimal=proven)
    return Together(
        tuple(purchases),
        tuple(_kits_bought(kits, plan, held, kept, needs)),
        too_long,
        limit,
        Decimal(plan.money - plan.bound).scaleb(-_MONEY_PLACES),
    )


def _as_way(need: Need, packs: tuple[int, ...], from_hand: tuple[int, ...]) -> Way:
    size = sum(line.offer.size * count for line, count in zip(need.lines, packs, strict=True))
    return Way(packs, (), 0, 0, size, from_hand)


def _purchase(part: Part, wanted: _Wanted, taken: Taken, *, optimal: bool) -> Purchase:
    purchase = Purchase(
        part=part,
        match="exact",
        bought=taken.bought,
        leftover=taken.leftover,
        optimal=optimal,
        from_stock=taken.from_stock,
        from_kits=sum(taken.from_kits, _NOTHING),
    )
    if not wanted.known and taken.bought:
        return as_proposed(purchase)
    if any(bought.item.read_from == "confirmed" for bought in taken.bought):
        return replace(purchase, match="confirmed")
    return purchase


def _kits_bought(
    kits: Sequence[Kit],
    plan: Plan,
    held: Sequence[tuple[Decimal, ...]],
    kept: Sequence[_Wanted],
    needs: Sequence[Need],
) -> Iterable[KitBought]:
    """The kits in order of their first part; pieces of one part go by kit in order."""
    used = [list(pieces) for pieces in held]
    found: list[KitBought] = []
    for kit, count, serving in zip(kits, plan.kits, plan.serving, strict=True):
        if not count:
            continue
        serves: list[tuple[int, Decimal, Decimal]] = []
        for need, pieces in kit.covers:
            cuts = len(needs[need].cuts)
            number = len(pieces) * (min(serving, cuts) if cuts else serving)
            own, used[need] = used[need][:number], used[need][number:]
            taken = sum(own, _NOTHING)
            in_all = Decimal(sum(pieces) * count) / steps(Decimal(1))
            serves.append((kept[need].place, taken, in_all - taken))
        found.append(KitBought(kit.offer.item, count, tuple(sorted(serves))))
    return sorted(found, key=lambda each: each.serves[0][0])
