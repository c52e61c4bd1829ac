"""The rows of the comparison that every document shows: labels and figures of each way."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.compare.records import CostGroup, HireQuote, Way, WayName
from estimator.money import ZERO
from estimator.published.sources import load_sources

_METHODS = ("pert_three_point", "normal_sum")

NAMES: Mapping[WayName, str] = {
    "own": "Do it oneself",
    "hire": "Hire",
    "cords_only": "Only cords",
}
GROUPS: Mapping[CostGroup, str] = {
    "supply": "The supply, as told",
    "materials": "Parts with sales tax",
    "cords": "Extension cords with sales tax",
    "tools": "Tools bought or rented, with sales tax",
    "labour": "Labour of the contractor",
    "permit": "Permit",
    "loan": "Interest of the loan",
}


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One row of figures. unit: what the figures are. how: in a few words, how they come about."""

    label: str
    figure: Callable[[Way], Decimal | int | None]
    unit: Literal["money", "unit_price", "hours", "count"]
    how: str


RANGE = (
    FigureRow("Low", lambda way: way.low, "money", "10 of a hundred such jobs cost less"),
    FigureRow("Likely", lambda way: way.likely, "money", "half of them cost less"),
    FigureRow("High", lambda way: way.high, "money", "90 of a hundred cost less"),
)
IF_ALLOWED = (
    FigureRow(
        "Credit if the claims are allowed",
        lambda way: way.credit_if_allowed,
        "money",
        "instead of the sure one, all allowed at once",
    ),
    FigureRow(
        "Cost after that credit",
        lambda way: way.cost_after_credit_if_allowed,
        "money",
        "own hours not counted",
    ),
)
HOURS = (
    FigureRow("Hours, at best", lambda way: way.hours_low, "hours", "own hours, or the crew's"),
    FigureRow("Hours, likely", lambda way: way.hours, "hours", ""),
    FigureRow("Hours, at worst", lambda way: way.hours_high, "hours", ""),
)
FOR_EACH = (
    FigureRow("Circuits fed", lambda way: way.circuits, "count", ""),
    FigureRow(
        "Cost of each circuit",
        lambda way: way.cost_per_circuit,
        "money",
        "after the sure credit, own hours not counted",
    ),
    FigureRow(
        "Cost of each kWh over the battery's life",
        lambda way: way.cost_per_kwh,
        "unit_price",
        "the same; empty: the life of the battery is not known",
    ),
    FigureRow(
        "Cost of each hour of outage",
        lambda way: way.cost_per_outage_hour,
        "money",
        "the same; empty: outages are not told",
    ),
    FigureRow(
        "Worth of an own hour at which hiring costs the same",
        lambda way: way.break_even_hour_value,
        "money",
        "below zero: hiring is cheaper anyhow",
    ),
)


def method_of(way: Way) -> str:
    """How the range was found, with the sources of the method."""
    told = [reason for reason in way.because if reason.source in _METHODS]
    return " ".join(f"{one.text} ({load_sources()[one.source].cite()})" for one in told)


def quote_words(quote: HireQuote) -> str:
    """What somebody else's quote comes to, and when own work costs the same."""
    told = f"a quote of {quote.total:,.2f}"
    if quote.with_supply != quote.total:
        told += f", {quote.with_supply:,.2f} with the supply"
    if quote.interest:
        told += f" and {quote.with_supply + quote.interest:,.2f} with the interest of the loan"
    told += ", before any credit"
    worth = quote.break_even_hour_value
    if worth is None:
        return told
    if worth < 0:
        return f"{told}: it costs less than own work even if own hours are worth nothing"
    return f"{told}: it costs what own work does when an own hour is worth {worth:,.2f}"


def paid_for(way: Way, group: CostGroup) -> Decimal:
    """What a way pays for one group of costs, sales tax included."""
    return sum((cost.paid for cost in way.costs if cost.what == group), ZERO)


def groups_of(ways: Sequence[Way]) -> tuple[CostGroup, ...]:
    """The groups for which some way pays, in the order of the documents."""
    return tuple(group for group in GROUPS if any(paid_for(way, group) for way in ways))
