"""How to buy the parts of a job at least money, in whole packs."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from estimator.catalogue.cuts import cheapest_pieces
from estimator.catalogue.match import STEPS_PER_UNIT, ItemIndex, Offer, steps, worth_buying
from estimator.catalogue.packs import Choice, cheapest_packs
from estimator.catalogue.propose import as_proposed, proposed_offers
from estimator.catalogue.records import Bought, Purchase, PurchasePlan
from estimator.finding import Finding
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Part
from estimator.units import plain

STICK_FT = Decimal(10)
_NOTHING = Decimal(0)
_ONE = Decimal(1)


def plan_purchase(parts: Sequence[Part], index: ItemIndex) -> PurchasePlan:
    """The cheapest purchase of each part, from the items of exactly its kind and attributes.

    Where there is no such item, one that is likely the part is taken and marked as proposed.
    Pieces, and lengths without cuts, may come in any mix of packs that covers the quantity.
    Each cut must come whole from one bought piece; cuts of goods that are joined end to end
    are first divided at every 10 ft. What is sold by the foot (pack 1) is bought in whole
    feet. Money counts before rounding to the cent; of equally cheap purchases the one with
    the least left over is taken, then the fewest packs, then the lowest item number.
    A part without items, or with a cut that no item can hold, is unpriced and has a finding
    in the latter case. optimal is False for a part whose search ran out of its budget.
    """
    purchases: list[Purchase] = []
    findings = list(index.findings)
    for part in parts:
        offers = worth_buying(part, index)
        if offers:
            purchase = _buy(part, offers)
            if index.has_confirmed and purchase is not None:
                purchase = _as_known(purchase)
        else:
            offers = proposed_offers(part, index)
            purchase = _buy(part, offers) if offers else None
            if purchase is not None:
                purchase = as_proposed(purchase)
        if purchase is None:
            if offers:
                findings.append(_too_long(part, offers))
            purchase = Purchase(part, "unpriced", (), _NOTHING, True)
        elif not purchase.optimal:
            findings.append(_not_proven(part))
        purchases.append(purchase)
    optimal = all(purchase.optimal for purchase in purchases)
    return PurchasePlan(tuple(purchases), optimal, tuple(findings))


def _as_known(purchase: Purchase) -> Purchase:
    confirmed = any(bought.item.read_from == "confirmed" for bought in purchase.bought)
    return replace(purchase, match="confirmed") if confirmed else purchase


def _buy(part: Part, offers: Sequence[Offer]) -> Purchase | None:
    only = offers[0]
    if len(offers) == 1 and (only.by_foot or not part.cuts_ft):
        return _buy_only(part, only)
    choice: Choice | None
    if part.cuts_ft:
        choice = cheapest_pieces(_cuts(part), offers)
        if choice is None:
            return None
    else:
        choice = cheapest_packs(steps(part.quantity), offers)
    packs = choice.packs
    if len(packs) > 1:
        packs = tuple(sorted(packs, key=lambda entry: -entry[0].size))
    bought = tuple([Bought(offer.item, count, count * offer.item.pack) for offer, count in packs])
    total = sum([each.quantity for each in bought], _NOTHING)
    return Purchase(part, "exact", bought, total - part.quantity, choice.optimal)


def _buy_only(part: Part, offer: Offer) -> Purchase:
    item, quantity = offer.item, part.quantity
    if item.pack == _ONE:
        packs = int(quantity)
        packs += packs < quantity
    else:
        packs = -(-steps(quantity) // offer.size)
    total = packs * item.pack
    return Purchase(part, "exact", (Bought(item, packs, total),), total - quantity, True)


def _cuts(part: Part) -> list[int]:
    if not load_part_kinds()[part.kind].stick:
        return [steps(cut) for cut in part.cuts_ft]
    stick = int(STICK_FT) * STEPS_PER_UNIT
    cuts: list[int] = []
    for cut in map(steps, part.cuts_ft):
        whole, rest = divmod(cut, stick)
        cuts += [stick] * whole + ([rest] if rest else [])
    return cuts


def _too_long(part: Part, offers: Sequence[Offer]) -> Finding:
    longest_cut = plain(Decimal(max(_cuts(part))) / STEPS_PER_UNIT)
    longest = max(offers, key=lambda offer: offer.length)
    return Finding(
        "warning",
        "NO_PIECE_LONG_ENOUGH",
        f"{part.description}: a piece of {longest_cut} ft is needed whole, but the longest on "
        f"offer is {plain(longest.item.pack / longest.pieces)} ft (item {longest.item.number}); "
        "the part is unpriced.",
        "",
        "price_list",
        "Add an item that is sold by the foot or in longer pieces.",
    )


def _not_proven(part: Part) -> Finding:
    return Finding(
        "note",
        "PURCHASE_NOT_PROVEN",
        f"{part.description}: the purchase shown covers the need, but the search stopped before "
        "it was proven the cheapest.",
        "",
        "own_convention",
        "Leave out pack sizes that you would not buy, if the last cent matters.",
    )
