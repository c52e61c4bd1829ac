"""The ways to get a job done as frozen records; money in the currency of the job's terms."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.basis import Because
from estimator.record import quick

WayName = Literal["own", "hire", "cords_only"]
CostGroup = Literal["supply", "materials", "cords", "tools", "labour", "permit", "loan"]


@quick
@dataclass(frozen=True, slots=True)
class WayCost:
    """One group of costs of a way. amount: without sales tax. low, high: with it."""

    what: CostGroup
    text: str
    amount: Decimal
    sales_tax: Decimal
    low: Decimal
    high: Decimal
    because: tuple[Because, ...]

    @property
    def paid(self) -> Decimal:
        """What is paid, sales tax included."""
        return self.amount + self.sales_tax


@quick
@dataclass(frozen=True, slots=True)
class ToolChoice:
    """How one comes by a tool: it is at hand, bought, or rented where that is cheaper.

    low, likely, high: without sales tax; None when its price is not known in the currency.
    """

    tool: str
    description: str
    how: Literal["owned", "buy", "rent"]
    low: Decimal | None
    likely: Decimal | None
    high: Decimal | None
    because: tuple[Because, ...]


@quick
@dataclass(frozen=True, slots=True)
class WayNote:
    """What a way leaves out, or what may forbid it. circuit: its name, "" for the whole way."""

    text: str
    source: str
    circuit: str = ""


@quick
@dataclass(frozen=True, slots=True)
class HireQuote:
    """Somebody else's quote as told, with the supply added where its price is told.

    interest: of the loan that is told; None when its terms are not. break_even_hour_value: of
    an own hour, interest counted on both sides, before any credit; None without own hours or
    without the interest.
    """

    total: Decimal
    with_supply: Decimal
    interest: Decimal | None
    break_even_hour_value: Decimal | None


@dataclass(frozen=True, slots=True)
class Way:
    """One way to get the job done.

    cash_cost: everything paid, the supply included where its price is told; not_known says
    what is missing from it. hours: of whoever does the work (own hours, or the crew's in
    "hire"). own_hours_value: None when the worth of an own hour is not told; 0.00 without
    own hours. credit: sure, in the first year, what the costs of this way bring;
    credit_if_allowed: if the open points of the claims go the taxpayer's way, all at once.
    whole_cost: after the sure credit, with the value of own hours. low, likely, high: of
    whole_cost, at 10, 50 and 90 per hundred. circuits: how many circuits it can feed.
    cost_per_...: of cost_after_credit, an outage hour over the hours and years told; None
    when there is nothing known to divide by. break_even_hour_value: only for "own", worth of
    an own hour at which hiring costs the same, below zero when hiring is cheaper anyhow.
    """

    way: WayName
    cash_cost: Decimal
    supply_cost: Decimal | None
    costs: tuple[WayCost, ...]
    tools: tuple[ToolChoice, ...]
    hours_low: Decimal
    hours: Decimal
    hours_high: Decimal
    own_hours_value: Decimal | None
    credit: Decimal
    credit_if_allowed: Decimal
    cost_after_credit: Decimal
    cost_after_credit_if_allowed: Decimal
    whole_cost: Decimal
    low: Decimal
    likely: Decimal
    high: Decimal
    circuits: int
    cost_per_circuit: Decimal | None
    cost_per_kwh: Decimal | None
    cost_per_outage_hour: Decimal | None
    break_even_hour_value: Decimal | None
    hire_quotes: tuple[HireQuote, ...]
    leaves_out: tuple[WayNote, ...]
    may_be_forbidden: tuple[WayNote, ...]
    not_known: tuple[str, ...]
    because: tuple[Because, ...]

    @property
    def complete(self) -> bool:
        """Whether every cost of the way is known."""
        return not self.not_known
