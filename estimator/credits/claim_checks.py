"""What no claim may hold: money below zero, shares outside of 0 to 1, a day before the rules."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from estimator.credits.records import ClaimFacts, CostLine
from estimator.credits.rules import CreditRules
from estimator.finding import Fault, Finding, InputRefused
from estimator.money import ZERO
from estimator.units import plain

_MONEY = (
    "carryforward_in", "utility_subsidy", "seller_rebate", "state_incentive", "panel_cost",
)  # fmt: skip


def refuse_bad_claim(facts: ClaimFacts, costs: Sequence[CostLine]) -> None:
    """Raise InputRefused with every fault; a cost below zero would quietly lower the base."""
    faults = (*_cost_faults(costs), *_fact_faults(facts))
    if faults:
        raise InputRefused("credit claim", faults)


def claim_findings(facts: ClaimFacts, rules: CreditRules) -> tuple[Finding, ...]:
    """What to tell beside the answer: a day of which the rules say nothing is an error."""
    day = facts.completed_on
    if day is None or day >= rules.first_day:
        return ()
    return (
        Finding(
            severity="error",
            code="CREDIT_DAY_BEFORE_RULES",
            message=f"The job is told as completed on {day.isoformat()}; the rules of the tax "
            f"credit begin on {rules.first_day.isoformat()} and say nothing of that day.",
            where="/credit_claim/completed_on",
            source=rules.in_force.spans[0].source,
            remedy="Correct the day, or leave the credit of that year to a tax professional.",
        ),
    )


def _cost_faults(costs: Sequence[CostLine]) -> Iterator[Fault]:
    for place, cost in enumerate(costs):
        if cost.amount < ZERO:
            yield _below_zero(f"/costs/{place}", f"The cost {cost.code}", cost.amount)


def _fact_faults(facts: ClaimFacts) -> Iterator[Fault]:
    for name in _MONEY:
        amount: Decimal = getattr(facts, name)
        if amount < ZERO:
            yield _below_zero(f"/facts/{name}", name, amount)
    for code, amount in facts.other_incentives:
        if amount < ZERO:
            yield _below_zero("/facts/other_incentives", code, amount)
    share = facts.nonbusiness_share
    if not ZERO <= share <= 1:
        message = f"is {plain(share)}; a share lies between 0 and 1"
        yield Fault("/facts/nonbusiness_share", message)


def _below_zero(where: str, what: str, amount: Decimal) -> Fault:
    return Fault(
        where,
        f"{what} is {plain(amount)}; it cannot be below zero. Tell a rebate or a refund as an "
        "incentive, and leave out what was not paid.",
    )
