"""Rules of one credit programme as frozen records: dated values, costs, reasons, form lines."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from estimator.basis import Because
from estimator.credits.records import Effect, Status
from estimator.published.dated import Dated, RuleGap, Span

Role = Literal["storage", "with_storage", "apart"]
Scope = Literal["claim", "storage", "amount"]
Need = Literal["new_cost", "storage", "carryforward"]
FormItem = Literal[
    "storage_as_solar_cost", "other_cost", "capacity_met", "storage_cost", "cost_sum",
    "credit_on_costs", "fuel_cell_credit", "carryforward_in", "total", "limit", "credit",
    "carryforward_out",
]  # fmt: skip
Standing = Literal["seen", "inferred", "draft"]
Occasion = Literal["business_share", "vehicle_charging"]


@dataclass(frozen=True, slots=True)
class CostVerdict:
    """What the rules say of one kind of cost in one span of time.

    in_base: counts once the open points of the claim itself are allowed.
    authority: the citations as text.
    """

    status: Status
    in_base: bool
    reason_code: str
    authority: str
    because: Because


@dataclass(frozen=True, slots=True)
class CostKind:
    """A kind of cost. role: the battery, what serves it, or what stands apart from it."""

    code: str
    label: str
    role: Role
    verdicts: Dated[CostVerdict]


@dataclass(frozen=True, slots=True)
class ResidenceRule:
    """How one use of the home is judged. reason_code: empty where it counts."""

    code: str
    reason_code: str
    because: Because


@dataclass(frozen=True, slots=True)
class IncentiveRule:
    """What an incentive does to the base."""

    code: str
    label: str
    effect: Effect
    because: Because


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a claim falls or is open. ask: the question that would settle it, or empty."""

    code: str
    verdict: Status
    scope: Scope
    ask: str
    authority: str
    because: Because


@dataclass(frozen=True, slots=True)
class OpenSides:
    """Both sides of an open point, each with its citations as text, and what settles it."""

    for_text: str
    for_authority: str
    against_text: str
    against_authority: str
    settled_by: str


@dataclass(frozen=True, slots=True)
class OutOfScope:
    """Another credit that may be there and is not worked out; when: what calls for the line."""

    when: Occasion
    because: Because


@dataclass(frozen=True, slots=True)
class Evidence:
    """A paper to keep, and what it is needed for."""

    needed_for: Need
    text: str


@dataclass(frozen=True, slots=True)
class FormRow:
    """One line of the form of a year. standing: how well the line number is known."""

    tax_year: int
    line: str
    item: FormItem
    label: str
    standing: Standing
    source: str


@dataclass(frozen=True, slots=True)
class CreditRules:
    """All rules of one programme. severity: rank of a verdict, the highest decides.

    open_sides: by reason code, or by cost code for a cost that is uncertain by itself.
    """

    programme: str
    jurisdiction: str
    law: str
    form: str
    checked_on: date
    checked_through_year: int
    severity: Mapping[str, int]
    caution: str
    country: str
    territories: frozenset[str]
    in_force: Dated[Decimal]
    rate: Dated[Decimal]
    standalone_storage: Dated[Decimal]
    minimum_kwh: Dated[Decimal]
    full_base_share: Dated[Decimal]
    credit_cap: Dated[Decimal]
    carryforward: Dated[Decimal]
    costs: Mapping[str, CostKind]
    residences: Mapping[str, ResidenceRule]
    incentives: Mapping[str, IncentiveRule]
    reasons: Mapping[str, Reason]
    questions: Mapping[str, str]
    evidence: tuple[Evidence, ...]
    form_rows: Mapping[int, tuple[FormRow, ...]]
    open_sides: Mapping[str, OpenSides]
    out_of_scope: tuple[OutOfScope, ...]

    @property
    def first_day(self) -> date:
        """First day on which a completed installation can give a credit."""
        return self.in_force.spans[0].start

    @property
    def last_day(self) -> date:
        """Last such day; the far future while no end is known."""
        return self.in_force.spans[-1].until or date.max

    def cap_on(self, day: date) -> Span[Decimal] | None:
        """Most credit of a year [USD], or None where there is no cap."""
        try:
            return self.credit_cap.on(day)
        except RuleGap:
            return None

    def cost_kind(self, code: str) -> CostKind:
        """The kind of cost of a code; "unsorted" for a code that the rules do not know."""
        return self.costs.get(code) or self.costs["unsorted"]

    def worst(self, *verdicts: Status) -> Status:
        """The verdict that decides among several; eligible when there are none."""
        return max(verdicts, key=self.severity.__getitem__, default="eligible")
