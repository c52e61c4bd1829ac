"""What the price has to tell the user: parts, fees and terms that do not stand."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.finding import Finding
from estimator.job.records import Terms
from estimator.money import HUNDRED
from estimator.pricing.records import PriceLine
from estimator.units import plain

_NAMED_PARTS = 5


def price_findings(
    terms: Terms, lines: Sequence[PriceLine], before_discount: Decimal
) -> tuple[Finding, ...]:
    """Findings on unpriced and proposed parts, the permit fee, the margin and the discount."""
    found = (
        _unpriced(lines),
        _proposed(lines),
        _permit(terms),
        _margin(terms),
        _discount(terms, before_discount),
    )
    return tuple(finding for finding in found if finding is not None)


def _unpriced(lines: Sequence[PriceLine]) -> Finding | None:
    missing = [line.description for line in lines if line.match == "unpriced"]
    if not missing:
        return None
    named = "; ".join(missing[:_NAMED_PARTS])
    if len(missing) > _NAMED_PARTS:
        named += f"; and {len(missing) - _NAMED_PARTS} more"
    are = "1 part has" if len(missing) == 1 else f"{len(missing)} parts have"
    return Finding(
        "warning",
        "UNPRICED_PARTS",
        f"{are} no price, so the total is incomplete: {named}.",
        "",
        "price_list",
        "Add items of exactly these kinds and attributes to a price list, or a list with them.",
    )


def _proposed(lines: Sequence[PriceLine]) -> Finding | None:
    found = {
        line.part: f"{line.description} ({'; '.join(line.reasons)})"
        for line in lines
        if line.match == "proposed"
    }
    if not found:
        return None
    named = "; ".join(list(found.values())[:_NAMED_PARTS])
    if len(found) > _NAMED_PARTS:
        named += f"; and {len(found) - _NAMED_PARTS} more"
    are = "1 part is" if len(found) == 1 else f"{len(found)} parts are"
    return Finding(
        "warning",
        "PROPOSED_MATCHES",
        f"{are} priced from items that nobody has confirmed to be the part: {named}.",
        "",
        "price_list",
        "Confirm before sending: look at each item, and give a list of confirmed matches "
        "(supplier, item number, kind, attributes).",
    )


def _permit(terms: Terms) -> Finding | None:
    if terms.permit_fee is not None:
        return None
    return Finding(
        "warning",
        "PERMIT_FEE_UNKNOWN",
        "The permit fee is not known; the total leaves it out.",
        "/terms/permit_fee",
        "job_description",
        "Ask the building department for its fee and set terms.permit_fee (0 if there is none).",
    )


def _margin(terms: Terms) -> Finding | None:
    if terms.margin_percent is None or terms.margin_percent < HUNDRED:
        return None
    return Finding(
        "error",
        "MARGIN_NOT_POSSIBLE",
        f"A margin of {plain(terms.margin_percent)} % of the price leaves nothing for the cost; "
        "no profit was added.",
        "/terms/margin_percent",
        "arithmetic",
        "Set terms.margin_percent below 100, or use terms.markup_percent.",
    )


def _discount(terms: Terms, before_discount: Decimal) -> Finding | None:
    if terms.discount <= before_discount:
        return None
    return Finding(
        "error",
        "DISCOUNT_ABOVE_PRICE",
        f"The discount of {plain(terms.discount)} is more than the price of "
        f"{plain(before_discount)}; only the price was taken off.",
        "/terms/discount",
        "arithmetic",
        "Set terms.discount to no more than the price.",
    )
