"""Credit facts and answers as frozen records."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from estimator.basis import Because
from estimator.money import ZERO
from estimator.record import quick

Status = Literal["eligible", "not_eligible", "uncertain"]
Effect = Literal["subtract", "keep", "ask"]


@quick
@dataclass(frozen=True, slots=True)
class CostLine:
    """One cost put before the credit rules.

    code: a cost code of the rules file. description: empty for the label that the rules file
    has for the code. amount: what the customer pays, in the quote's currency. on: for a tax
    or surcharge, the cost code that it was charged on (its verdict follows that cost).
    priced: False when part of this cost has no price yet.
    because: how the amount was arrived at.
    """

    code: str
    description: str
    amount: Decimal
    on: str = ""
    priced: bool = True
    because: tuple[Because, ...] = ()

    @property
    def judged_as(self) -> str:
        """The cost code whose verdict decides."""
        return self.on or self.code


@dataclass(frozen=True, slots=True)
class OwnIncentive:
    """What a programme of one's own does to the base of the federal credit.

    least and most: its amount under the readings of its own open points.
    """

    programme: str
    effect: Effect
    least: Decimal
    most: Decimal


@quick
@dataclass(frozen=True, slots=True)
class ClaimFacts:
    """What the credit rules need to know about the job and the taxpayer; None is "not told".

    completed_on: the original installation was complete. placed_in_service_on: first put to
    use (for a newly built home the day the taxpayer's own use of it began). planned: the
    completion day lies ahead. supply_kind "none": no supply is claimed (other clean energy
    property, or only a carry-forward). claim_year: tax year of the return, used only when
    no property is claimed. residence: a residence code of the rules file. nonbusiness_share:
    0 to 1. tax_limit: tax left for this credit. Money in the quote's currency.
    other_incentives: (incentive code of the rules file, amount) pairs beyond the three named.
    own_incentives: from programmes of one's own. panel_cost: panel work claimed under the home
    improvement credit, panel_amps its rating [A], panel_enables what it makes possible.
    panel_credit: what it takes from the tax limit, which is told after it.
    charges_vehicle: a vehicle is charged by what is built.
    """

    supply_kind: Literal["power_station", "battery", "generator", "none"]
    completed_on: date | None
    placed_in_service_on: date | None
    paid_on: date | None
    planned: bool
    portable: bool
    permanently_wired: bool | None
    nameplate_kwh: Decimal | None
    usable_kwh: Decimal | None
    charged_only_by_onsite_solar: bool
    residence: str
    newly_built_home: bool
    region: str
    nonbusiness_share: Decimal
    tax_limit: Decimal | None
    carryforward_in: Decimal
    utility_subsidy: Decimal
    seller_rebate: Decimal
    state_incentive: Decimal
    other_incentives: tuple[tuple[str, Decimal], ...] = ()
    claim_year: int | None = None
    own_incentives: tuple[OwnIncentive, ...] = ()
    panel_cost: Decimal = ZERO
    panel_amps: int = 0
    panel_enables: tuple[str, ...] = ()
    panel_credit: Decimal = ZERO
    charges_vehicle: bool = False

    @property
    def incentives(self) -> tuple[tuple[str, Decimal], ...]:
        """(Incentive code, amount) of every incentive that was told."""
        named = (
            ("utility_subsidy", self.utility_subsidy),
            ("seller_rebate", self.seller_rebate),
            ("state_incentive", self.state_incentive),
        )
        return tuple(pair for pair in (*named, *self.other_incentives) if pair[1])


@quick
@dataclass(frozen=True, slots=True)
class CreditLine:
    """The verdict on one cost. authority: the citation as text.

    in_base: whether the cost counts once the claim as a whole is allowed; False for a cost
    that is refused or open by itself. An uncertain line that is in_base waits only for the
    claim's own open points.
    """

    cost: str
    code: str
    amount: Decimal
    status: Status
    reason_code: str
    authority: str
    because: tuple[Because, ...]
    in_base: bool = True


@quick
@dataclass(frozen=True, slots=True)
class FormLine:
    """One line of the tax form of the year, as text: line "6a", label, amount.

    amount: over the sure costs. amount_if_uncertain: if every open point were allowed.
    """

    form: str
    line: str
    label: str
    amount: str
    amount_if_uncertain: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """The money under one reading of the open points.

    base: costs that count, less incentives, times the nonbusiness share where that is low.
    tentative: base times rate, within the cap of the year. amount: usable this year, together
    with what was carried in. carryforward: left for the next year; None when the tax limit
    is not told.
    """

    base: Decimal
    tentative: Decimal
    amount: Decimal
    carryforward: Decimal | None


NO_OUTCOME = Outcome(ZERO, ZERO, ZERO, None)


@dataclass(frozen=True, slots=True)
class OpenPoint:
    """One uncertain point with both sides, and the money that hangs on it.

    code: of the reason, or of the cost that is uncertain by itself. concerns: in words.
    amount_against, amount_for: what can be used this year if the point goes against or for
    the taxpayer. supposing: what both amounts suppose about the other open points.
    """

    code: str
    concerns: str
    for_text: str
    for_authority: str
    against_text: str
    against_authority: str
    settled_by: str
    amount_against: Decimal
    amount_for: Decimal
    supposing: str


@quick
@dataclass(frozen=True, slots=True)
class CreditAnswer:
    """What one programme gives for one job.

    base, rate, tentative, amount, carryforward: over the sure lines. if_allowed: if the open
    points of the claim itself went the taxpayer's way, costs that are open by themselves
    still left out. if_everything: if every open point did; amount_if_uncertain is its amount.
    tax_year None: the year is not known. amount: what can be used this year, of this job's
    credit and of what was carried in; without a tax limit, the sum of both.
    carryforward: what remains for the next year (None when the tax limit is not told).
    open_points: each uncertain point with both sides and both amounts.
    """

    programme: str
    jurisdiction: str
    tax_year: int | None
    status: Status
    reason_codes: tuple[str, ...]
    lines: tuple[CreditLine, ...]
    base: Decimal
    rate: Decimal
    tentative: Decimal
    amount: Decimal
    amount_if_uncertain: Decimal
    carryforward: Decimal | None
    form_lines: tuple[FormLine, ...]
    evidence: tuple[str, ...]
    questions: tuple[str, ...]
    because: tuple[Because, ...]
    caution: str
    if_allowed: Outcome = NO_OUTCOME
    if_everything: Outcome = NO_OUTCOME
    open_points: tuple[OpenPoint, ...] = ()


@dataclass(frozen=True, slots=True)
class CreditTotal:
    """The money of all programmes together, usable this year.

    sure: what holds however the open points go. if_allowed: if those of the claims themselves
    go the taxpayer's way, all at once; costs that are open by themselves are left out.
    if_everything: if every open point does. What one programme then gives comes off the base
    of another as the rules say, so a total may be less than the sum of the answers.
    """

    sure: Decimal
    if_allowed: Decimal
    if_everything: Decimal


NO_CREDIT = CreditTotal(ZERO, ZERO, ZERO)
