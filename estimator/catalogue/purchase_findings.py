"""What the purchase has to tell the user."""

from collections.abc import Collection, Sequence
from decimal import Decimal
from difflib import get_close_matches

from estimator.catalogue.match import STEPS_PER_UNIT, Offer
from estimator.catalogue.records import SupplierTerms
from estimator.finding import Finding
from estimator.takeoff.records import Part
from estimator.units import plain


def too_long(part: Part, longest_cut: int, offers: Sequence[Offer]) -> Finding:
    """No item holds the longest cut of a part (in steps)."""
    longest = max(offers, key=lambda offer: offer.length)
    return Finding(
        "warning",
        "NO_PIECE_LONG_ENOUGH",
        f"{part.description}: a piece of {plain(Decimal(longest_cut) / STEPS_PER_UNIT)} ft is "
        f"needed whole, but the longest on offer is "
        f"{plain(longest.item.pack / longest.pieces)} ft (item {longest.item.number}); "
        "the part is unpriced.",
        "",
        "price_list",
        "Add an item that is sold by the foot or in longer pieces.",
    )


def not_proven(part: Part) -> Finding:
    """The search for one part stopped before its end."""
    return Finding(
        "note",
        "PURCHASE_NOT_PROVEN",
        f"{part.description}: the purchase shown covers the need, but the search stopped before "
        "it was proven the cheapest.",
        "",
        "own_convention",
        "Leave out pack sizes that you would not buy, if the last cent matters.",
    )


def plan_not_proven(gap: Decimal, currency: str) -> Finding:
    """The search over all suppliers stopped before its end."""
    return Finding(
        "note",
        "PURCHASE_NOT_PROVEN",
        "The plan covers every need on the suppliers' terms, but the search stopped before it was "
        f"proven the cheapest; none is cheaper by more than {plain(gap)} {currency}.",
        "",
        "own_convention",
        "Leave out suppliers or pack sizes that you would not buy, if that much matters.",
    )


def limit_not_kept(limit: int, used: int) -> Finding:
    """No so few suppliers sell everything."""
    return Finding(
        "warning",
        "SUPPLIER_LIMIT_NOT_KEPT",
        f"No {limit} supplier{'s' if limit > 1 else ''} together sell every part that any of them "
        f"sells; the plan takes {used}, the fewest that do.",
        "/terms/most_suppliers",
        "price_list",
        "Allow as many suppliers, or give a price list that has the missing parts.",
    )


def terms_not_used(
    terms: Sequence[SupplierTerms], currency: str, suppliers: Collection[str]
) -> list[Finding]:
    """Terms of suppliers that no price list names, and terms in another currency."""
    names = {name.casefold(): name for name in suppliers}
    return [
        finding
        for each in terms
        for finding in (_unknown(each, names), _other_currency(each, currency, names))
        if finding is not None
    ]


def _unknown(terms: SupplierTerms, names: dict[str, str]) -> Finding | None:
    if terms.supplier.casefold() in names:
        return None
    near = get_close_matches(terms.supplier.casefold(), names, n=1)
    nearest = f" The nearest name is {names[near[0]]}." if near else ""
    return Finding(
        "warning",
        "SUPPLIER_TERMS_NOT_USED",
        f"The terms of {terms.supplier} were not used: no price list is from a supplier of that "
        f"name.{nearest}",
        "",
        "price_list",
        "Write the supplier's name in the terms as it stands in its price list.",
    )


def _other_currency(terms: SupplierTerms, currency: str, names: dict[str, str]) -> Finding | None:
    if terms.currency == currency or terms.supplier.casefold() not in names:
        return None
    return Finding(
        "warning",
        "SUPPLIER_TERMS_NOT_USED",
        f"The terms of {terms.supplier} are in {terms.currency}, not in {currency}; they were not "
        "used.",
        "/terms/currency",
        "price_list",
        f"Give its terms in {currency}.",
    )
