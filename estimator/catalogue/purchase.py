"""How to buy the parts of a job at least money, in whole packs."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from estimator.catalogue.buying.needs import Line, Need
from estimator.catalogue.buying.part_buyer import PartBuyer
from estimator.catalogue.cut_lengths import cut_lengths
from estimator.catalogue.cuts import cheapest_pieces
from estimator.catalogue.match import ItemIndex, Offer, steps, worth_buying
from estimator.catalogue.packs import Choice, cheapest_packs
from estimator.catalogue.plan_together import Together, kits_for, plan_together
from estimator.catalogue.propose import as_proposed, proposed_offers
from estimator.catalogue.purchase_findings import (
    limit_not_kept,
    not_proven,
    plan_not_proven,
    terms_not_used,
    too_long,
)
from estimator.catalogue.records import Bought, Purchase, PurchasePlan, SupplierTerms
from estimator.catalogue.stock import Pieces, stock_at_hand
from estimator.catalogue.taken import taken_from_stock
from estimator.finding import Finding
from estimator.job.records import StockItem
from estimator.takeoff.records import Part

_NOTHING = Decimal(0)
_ONE = Decimal(1)
_NO_STOCK: Mapping[int, Pieces] = {}


def plan_purchase(
    parts: Sequence[Part],
    index: ItemIndex,
    *,
    terms: Sequence[SupplierTerms] = (),
    stock: Sequence[StockItem] = (),
    most_suppliers: int | None = None,
) -> PurchasePlan:
    """The cheapest purchase of all parts, from the items of exactly their kind and attributes.

    Where there is no such item, one that is likely the part is taken and marked as proposed.
    Pieces, and lengths without cuts, may come in any mix of packs that covers the quantity.
    Each cut must come whole from one bought piece; cuts of goods that are joined end to end
    are first divided at every 10 ft. What is sold by the foot (pack 1) is bought in whole
    feet. Money counts before rounding to the cent; of equally cheap purchases of a part the
    one with the least left over is taken, then the fewest packs, then the lowest item number.
    A part without items, or with a cut that no item can hold, is unpriced and has a finding
    in the latter case. optimal is False for a part whose search ran out of its budget.

    terms: minimum orders and delivery fees. stock: what is at hand; it is used where less has
    to be bought then. most_suppliers: no more of them are used, unless fewer cannot sell all.
    With terms, such a limit, or kits that hold parts of the job, all suppliers are weighed
    against each other (see the package buying); else each part stands by itself.
    """
    findings = list(index.findings)
    at_hand = _NO_STOCK
    if stock:
        at_hand, said = stock_at_hand(parts, stock)
        findings += said
    usable: tuple[SupplierTerms, ...] = ()
    if terms:
        findings += terms_not_used(terms, index.currency, index.suppliers)
        usable = tuple(each for each in terms if each.currency == index.currency)
    kits = kits_for(parts, index) if index.kits else ()
    if usable or kits or most_suppliers is not None:
        found = plan_together(parts, index, usable, kits, at_hand, most_suppliers)
        return _whole(parts, found, usable, findings, index, most_suppliers)
    purchases: list[Purchase] = []
    for place, part in enumerate(parts):
        purchase = _for_part(part, index, at_hand.get(place, ()), findings)
        purchases.append(purchase)
    optimal = all(purchase.optimal for purchase in purchases)
    gap = _NOTHING if optimal else sum([each.gap for each in purchases], _NOTHING)
    return PurchasePlan(tuple(purchases), optimal, tuple(findings), gap=gap)


def _whole(
    parts: Sequence[Part],
    found: Together,
    terms: tuple[SupplierTerms, ...],
    findings: list[Finding],
    index: ItemIndex,
    most_suppliers: int | None,
) -> PurchasePlan:
    for place, offers in found.too_long:
        findings.append(too_long(parts[place], max(cut_lengths(parts[place])), offers))
    if most_suppliers is not None and found.limit is not None and found.limit > most_suppliers:
        findings.append(limit_not_kept(most_suppliers, found.limit))
    if found.gap:
        findings.append(plan_not_proven(found.gap, index.currency))
    return PurchasePlan(
        purchases=found.purchases,
        optimal=not found.gap,
        findings=tuple(findings),
        kits=found.kits,
        terms=terms,
        gap=found.gap,
    )


def _for_part(part: Part, index: ItemIndex, at_hand: Pieces, findings: list[Finding]) -> Purchase:
    offers = worth_buying(part, index)
    if offers:
        purchase = _buy(part, offers, at_hand, plain=index.plain)
        if index.has_confirmed and purchase is not None:
            purchase = _as_known(purchase)
    else:
        offers = proposed_offers(part, index)
        purchase = _buy(part, offers, at_hand, plain=index.plain) if offers or at_hand else None
        if purchase is not None and purchase.bought:
            purchase = as_proposed(purchase)
    if purchase is None:
        if offers:
            findings.append(too_long(part, max(cut_lengths(part)), offers))
        return Purchase(part, "unpriced", (), _NOTHING, True)
    if not purchase.optimal:
        findings.append(not_proven(part))
    return purchase


def _as_known(purchase: Purchase) -> Purchase:
    confirmed = any(bought.item.read_from == "confirmed" for bought in purchase.bought)
    return replace(purchase, match="confirmed") if confirmed else purchase


def _buy(part: Part, offers: Sequence[Offer], at_hand: Pieces, *, plain: bool) -> Purchase | None:
    if at_hand or not (plain or all(offer.plain for offer in offers)):
        return _buy_exactly(part, offers, at_hand)
    only = offers[0]
    if len(offers) == 1 and (only.by_foot or not part.cuts_ft):
        return _buy_only(part, only)
    choice: Choice | None
    if part.cuts_ft:
        choice = cheapest_pieces(cut_lengths(part), offers)
        if choice is None:
            return None
    else:
        choice = cheapest_packs(steps(part.quantity), offers)
    packs = choice.packs
    if len(packs) > 1:
        packs = tuple(sorted(packs, key=lambda entry: -entry[0].size))
    bought = tuple([Bought(offer.item, count, count * offer.item.pack) for offer, count in packs])
    total = sum([each.quantity for each in bought], _NOTHING)
    leftover = total - part.quantity
    if choice.optimal:
        return Purchase(part, "exact", bought, leftover, True)
    # Nothing is cheaper than the need itself at the lowest price of a unit.
    bound = part.quantity * min(offer.item.unit_price for offer in offers)
    money = sum([each.item.pack_price * each.packs for each in bought], _NOTHING)
    return Purchase(part, "exact", bought, leftover, False, gap=money - bound)


def _buy_only(part: Part, offer: Offer) -> Purchase:
    item, quantity = offer.item, part.quantity
    if item.pack == _ONE:
        packs = int(quantity)
        packs += packs < quantity
    else:
        packs = -(-steps(quantity) // offer.size)
    total = packs * item.pack
    return Purchase(part, "exact", (Bought(item, packs, total),), total - quantity, True)


def _buy_exactly(part: Part, offers: Sequence[Offer], at_hand: Pieces) -> Purchase | None:
    """Offers with quantity breaks, minimums or steps, and what is at hand already."""
    cuts = tuple(sorted(cut_lengths(part), reverse=True))
    amount = sum(cuts) if cuts else steps(part.quantity)
    need = Need(amount, cuts, tuple(Line(offer, 0) for offer in offers), at_hand)
    least = PartBuyer(need, 1, 0).least(1)
    if least is None:
        return None
    taken = taken_from_stock(part, need, least.way, len(at_hand))
    gap = Decimal(least.way.total - least.bound).scaleb(-8)
    return Purchase(
        part=part,
        match="exact",
        bought=taken.bought,
        leftover=taken.leftover,
        optimal=not gap,
        gap=gap,
        from_stock=taken.from_stock,
    )
