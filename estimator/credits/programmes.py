"""A programme of one's own as a frozen record: state, local or utility, with dated values."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from estimator.credits.records import Effect
from estimator.published.dated import Dated

Kind = Literal["percent", "per_kwh", "flat", "sales_tax_exemption"]
DateBasis = Literal["completed", "paid", "applied"]
KwhBasis = Literal["usable", "nameplate"]
IncomeMeasure = Literal["household_income", "percent_of_area_median"]
BaseLess = Literal["earlier_programmes", "utility_subsidy", "seller_rebate", "state_incentive"]

EVERYBODY = ""


@dataclass(frozen=True, slots=True)
class Tier:
    """A step of an amount per kWh. up_to_kwh: where it ends, None for the last."""

    up_to_kwh: Decimal | None
    per_kwh: Decimal


Values = Mapping[str, Dated[Decimal]]
Tiers = Mapping[str, Dated[tuple[Tier, ...]]]


@dataclass(frozen=True, slots=True)
class Programme:
    """All that one programme file says; dated values by customer class ("": everybody).

    first_day, last_day: days of the date basis on which it gives something. stacking_order:
    1 comes first. base_costs: cost codes that count, empty for all. left_out: codes that do
    not. base_less: what comes off the base first. amounts: share (percent, tax exemption) or
    money (flat). cap_shares: most, as a share of the base. total_cap_shares: most that it and
    all incentives before it may come to, as a share of all costs. refundable: paid whatever
    the tax; otherwise limited by it, with carryforward_years for the rest.
    """

    name: str
    code: str
    jurisdiction: str
    authority: str
    checked_on: date
    kind: Kind
    date_basis: DateBasis
    first_day: date
    last_day: date | None
    stacking_order: int
    effect_on_federal_base: Effect
    refundable: bool
    carryforward_years: int
    needs_approval: bool
    funding_limited: bool
    requires_solar: bool
    location_flag: str
    income_measure: IncomeMeasure | None
    kwh_basis: KwhBasis
    base_costs: frozenset[str]
    left_out: frozenset[str]
    base_less: tuple[BaseLess, ...]
    evidence: tuple[str, ...]
    amounts: Values
    tiers: Tiers
    caps: Values
    cap_shares: Values
    total_cap_shares: Values
    minimum_kwh: Values
    maximum_kwh: Values
    income_limits: Values

    @property
    def classes(self) -> tuple[str, ...]:
        """Customer classes with values of their own, in the order of the file."""
        main: Mapping[str, object] = self.tiers if self.kind == "per_kwh" else self.amounts
        return tuple(name for name in main if name != EVERYBODY)

    @property
    def open_to_all(self) -> bool:
        """Whether there is a value for everybody else."""
        main: Mapping[str, object] = self.tiers if self.kind == "per_kwh" else self.amounts
        return EVERYBODY in main

    @property
    def needs_kwh(self) -> bool:
        """Whether the capacity of the battery decides anything."""
        return bool(self.tiers or self.minimum_kwh)


def value_on(values: Values, customer_class: str, day: date) -> Decimal | None:
    """The value of a class on a day, or that of everybody; None where the file has none."""
    dated = values.get(customer_class) or values.get(EVERYBODY)
    return None if dated is None else dated.on(day).value
