"""Several years in a row: what one year leaves over is carried into the next."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.credits.assess import assess_credits
from estimator.credits.records import ClaimFacts, CostLine, CreditAnswer, Status
from estimator.credits.rules import CreditRules
from estimator.finding import Fault, InputRefused
from estimator.money import ZERO

NO_LIMIT_BEFORE = (
    "What the year before left over is not known without the tax that was left for the credit "
    "in that year; nothing is carried in here."
)
OPEN_BEFORE = "What is carried in hangs on the open points of the years before."


@dataclass(frozen=True, slots=True)
class ClaimOfYear:
    """One year's return. facts.tax_limit: of that year. costs: none when nothing new is claimed."""

    year: int
    facts: ClaimFacts
    costs: tuple[CostLine, ...] = ()


@dataclass(frozen=True, slots=True)
class LinkOfYear:
    """One year of the chain, under the sure reading and with every open point allowed.

    carried_in: None when the year before does not tell what it left. answer: under the sure
    reading. note: what is missing, or empty. why: the reasons where every open point is allowed.
    year_is_open: the year's own claim or form is open, so that the first of them says why.
    """

    year: int
    carried_in: Decimal | None
    amount: Decimal
    carryforward: Decimal | None
    carried_in_if_uncertain: Decimal | None
    amount_if_uncertain: Decimal
    carryforward_if_uncertain: Decimal | None
    answer: CreditAnswer
    note: str
    why: tuple[str, ...]
    year_is_open: bool

    @property
    def status(self) -> Status:
        """Uncertain too where nothing is sure but for what the years before leave open."""
        return (
            self.answer.status if self.carried_in == self.carried_in_if_uncertain else "uncertain"
        )

    @property
    def open_because(self) -> str:
        """What keeps the higher reading from being sure, or empty."""
        told = [self.note] if self.note else []
        if self.carried_in != self.carried_in_if_uncertain:
            told.append(OPEN_BEFORE)
        if self.year_is_open:
            told.append(self.why[0])
        return " ".join(told)


def only_carried_in(facts: ClaimFacts, year: int, tax_limit: Decimal | None) -> ClaimOfYear:
    """A year in which nothing new is claimed and only the rest of earlier years is used."""
    idle = replace(
        facts,
        supply_kind="none",
        completed_on=None,
        placed_in_service_on=None,
        paid_on=None,
        planned=False,
        claim_year=year,
        tax_limit=tax_limit,
        panel_cost=ZERO,
        utility_subsidy=ZERO,
        seller_rebate=ZERO,
        state_incentive=ZERO,
        other_incentives=(),
    )
    return ClaimOfYear(year, idle)


def carry_through(
    claims: Sequence[ClaimOfYear], rules: CreditRules, today: date
) -> tuple[LinkOfYear, ...]:
    """The federal residential credit of one return after the other, oldest first.

    What the first claim carries in is its own facts' carryforward_in; each later one takes
    what the year before left. Raises InputRefused when a year is left out or out of order, or
    lies before the first one of the rules: a rest goes to the next year and no other. Source:
    26 USC 25D(c).
    """
    _refuse_broken_order(claims, rules)
    links: list[LinkOfYear] = []
    for claim in claims:
        before = links[-1] if links else None
        sure_in = claim.facts.carryforward_in if before is None else before.carryforward
        hopeful_in = sure_in if before is None else before.carryforward_if_uncertain
        links.append(_link(claim, (sure_in, hopeful_in), rules, today))
    return tuple(links)


def years_after(
    answer: CreditAnswer,
    facts: ClaimFacts,
    taxes: Sequence[Decimal],
    rules: CreditRules,
    today: date,
) -> tuple[LinkOfYear, ...]:
    """The years after a claim, as long as something of it is left, with nothing new in them.

    answer: of the federal residential credit on these facts. taxes: what is left for the
    credit in the year after the claim, then in the next, and so on. None when the tax year is
    not known. Source: 26 USC 25D(c).
    """
    if answer.tax_year is None:
        return ()
    links: list[LinkOfYear] = []
    left = (answer.carryforward, answer.if_everything.carryforward)
    for year, tax in enumerate(taxes, start=answer.tax_year + 1):
        if left == (ZERO, ZERO):
            break
        links.append(_link(only_carried_in(facts, year, tax), left, rules, today))
        left = (links[-1].carryforward, links[-1].carryforward_if_uncertain)
    return tuple(links)


def _link(
    claim: ClaimOfYear,
    carried_in: tuple[Decimal | None, Decimal | None],
    rules: CreditRules,
    today: date,
) -> LinkOfYear:
    sure_in, hopeful_in = carried_in
    sure = _assess(claim, sure_in, rules, today)
    hopeful = sure if hopeful_in == sure_in else _assess(claim, hopeful_in, rules, today)
    return LinkOfYear(
        year=claim.year,
        carried_in=sure_in,
        amount=sure.amount,
        carryforward=sure.carryforward,
        carried_in_if_uncertain=hopeful_in,
        amount_if_uncertain=hopeful.if_everything.amount,
        carryforward_if_uncertain=hopeful.if_everything.carryforward,
        answer=sure,
        note=NO_LIMIT_BEFORE if sure_in is None else "",
        why=tuple(reason.text for reason in hopeful.because),
        year_is_open=hopeful.status == "uncertain",
    )


def _assess(
    claim: ClaimOfYear, carried_in: Decimal | None, rules: CreditRules, today: date
) -> CreditAnswer:
    facts = replace(claim.facts, carryforward_in=carried_in or ZERO, panel_cost=ZERO)
    return assess_credits(facts, claim.costs, rules, today)[0]


def _refuse_broken_order(claims: Sequence[ClaimOfYear], rules: CreditRules) -> None:
    faults = []
    for place, claim in enumerate(claims):
        where = f"/claims/{place}/year"
        if claim.year < rules.first_day.year:
            message = f"{claim.year} lies before {rules.first_day.year}, the first of the rules"
            faults.append(Fault(where, message))
        if place and claim.year != claims[place - 1].year + 1:
            message = (
                f"{claim.year} does not follow {claims[place - 1].year}; what is left over goes "
                "to the next year, so give every year, one with nothing new too"
            )
            faults.append(Fault(where, message))
        day = claim.facts.completed_on
        if day is not None and day.year != claim.year and not claim.facts.newly_built_home:
            message = f"the work was completed in {day.year}, which is the year of its credit"
            faults.append(Fault(where, message))
    if faults:
        raise InputRefused("claims by year", tuple(faults))
