"""How one comes by the tools: those at hand cost nothing, others are bought or rented."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from estimator.basis import because
from estimator.compare.inputs import DOLLARS
from estimator.compare.records import ToolChoice, WayCost
from estimator.money import ZERO, percent_of
from estimator.takeoff.records import ToolNeed


def choose_tools(needs: Iterable[ToolNeed], currency: str) -> tuple[ToolChoice, ...]:
    """Each tool the cheaper way; prices are known in US dollars only."""
    return tuple(_choice(need, priced=currency == DOLLARS) for need in needs)


def tool_costs(choices: Sequence[ToolChoice], tax_percent: Decimal) -> tuple[WayCost, ...]:
    """What the chosen tools cost together, with sales tax; nothing when all are at hand."""
    paid = [tool for tool in choices if tool.likely]
    if not paid:
        return ()
    low, likely, high = (
        sum((getattr(tool, name) for tool in paid), ZERO) for name in ("low", "likely", "high")
    )
    tax = percent_of(tax_percent, likely)
    rented = sum(tool.how == "rent" for tool in paid)
    reason = because(
        "Tools that are not at hand, each bought or rented, whichever costs less for this one job.",
        "common_practice",
        bought=len(paid) - rented,
        rented=rented,
    )
    return (
        WayCost(
            "tools",
            "tools bought or rented",
            likely,
            tax,
            low + percent_of(tax_percent, low),
            high + percent_of(tax_percent, high),
            (reason,),
        ),
    )


def _choice(need: ToolNeed, *, priced: bool) -> ToolChoice:
    if need.owned:
        return ToolChoice(need.tool, need.description, "owned", ZERO, ZERO, ZERO, need.because)
    rent = None
    if need.rent_per_day is not None and need.rent_days is not None:
        rent = need.rent_per_day * need.rent_days
    if rent is None or rent >= need.buy or need.rent_per_day is None:
        how, points = "buy", (need.buy_low, need.buy, need.buy_high)
    else:
        # A job that drags on keeps the tool a day longer.
        how, points = "rent", (rent, rent, rent + need.rent_per_day)
    low, likely, high = points if priced else (None, None, None)
    return ToolChoice(
        need.tool,
        need.description,
        "rent" if how == "rent" else "buy",
        low,
        likely,
        high,
        need.because,
    )
