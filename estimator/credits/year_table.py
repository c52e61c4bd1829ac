"""The same job completed in each of several years: what is given, and why it changes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.credits.assess import Assessment, assess_claim
from estimator.credits.panel_rules_file import load_panel_rules
from estimator.credits.programme_facts import NOTHING_TOLD, Told
from estimator.credits.programmes import Programme
from estimator.credits.records import ClaimFacts, CostLine, CreditAnswer, Outcome, Status
from estimator.credits.rules import CreditRules
from estimator.money import HUNDRED, ZERO
from estimator.published.dated import RuleGap
from estimator.units import plain

FIRST_YEAR, LAST_YEAR = 2020, 2030
_MIDYEAR = (6, 30)


@dataclass(frozen=True, slots=True)
class YearOfProgramme:
    """One programme in one year. why: the reasons in words. change: against the year before,
    empty where nothing changes. checked: the rules were checked for that year.
    """

    programme: str
    status: Status
    reason_codes: tuple[str, ...]
    rate: Decimal
    amount: Decimal
    amount_if_uncertain: Decimal
    why: str
    change: str
    checked: bool


@dataclass(frozen=True, slots=True)
class CreditYear:
    """The job as if completed on this day. total: the sure amounts together.
    total_if_uncertain: if every open point went the taxpayer's way at once; what one programme
    then gives may lower another, so it may be less than the sum of theirs.
    """

    year: int
    completed_on: date
    programmes: tuple[YearOfProgramme, ...]
    total: Decimal
    total_if_uncertain: Decimal


def credits_by_year(
    facts: ClaimFacts,
    costs: Sequence[CostLine],
    rules: CreditRules,
    today: date,
    programmes: Sequence[Programme] = (),
    told: Mapping[str, Told] = NOTHING_TOLD,
    *,
    first: int = FIRST_YEAR,
    last: int = LAST_YEAR,
) -> tuple[CreditYear, ...]:
    """The credits of the job as if completed, paid, put to use and applied for on one day of
    each year: the day of the year on which it is completed, or 30 June while that is not known.

    What an earlier year left over is not counted. Other arguments as in assess_claim.
    Raises RuleGap for a year before the first one of the rules: nothing is said of it.
    """
    if first < rules.first_day.year:
        raise RuleGap(
            f"The rules of {rules.programme} begin on {rules.first_day.isoformat()}; they say "
            f"nothing of {first}. Ask for years from {rules.first_day.year} on."
        )
    checked = {one.name: one.checked_on.year for one in programmes}
    for own in (rules, load_panel_rules()):
        checked[own.programme] = own.checked_through_year
    rows: list[CreditYear] = []
    before: tuple[CreditAnswer, ...] = ()
    for year in range(first, last + 1):
        moved, day = _moved(facts, year, today)
        told_then = {name: _told_on(name, value, day) for name, value in told.items()}
        told_then.setdefault("applied_on", day)
        assessed = assess_claim(moved, costs, rules, today, programmes, told_then)
        rows.append(_row(year, day, assessed, before, checked))
        before = assessed.answers
    return tuple(rows)


def _moved(facts: ClaimFacts, year: int, today: date) -> tuple[ClaimFacts, date]:
    completed = facts.completed_on
    month, day_of_month = _MIDYEAR if completed is None else (completed.month, completed.day)
    if (month, day_of_month) == (2, 29):
        day_of_month = 28
    day = date(year, month, day_of_month)
    moved = replace(
        facts,
        completed_on=day,
        placed_in_service_on=day,
        paid_on=day,
        planned=day > today,
        carryforward_in=ZERO,
        claim_year=None,
    )
    return moved, day


def _told_on(name: str, value: Told, day: date) -> Told:
    return day if name.rpartition(".")[2] == "applied_on" else value


def _row(
    year: int,
    day: date,
    assessed: Assessment,
    before: Sequence[CreditAnswer],
    checked: Mapping[str, int],
) -> CreditYear:
    earlier = {one.programme: one for one in before}
    programmes = tuple(
        YearOfProgramme(
            programme=one.programme,
            status=one.status,
            reason_codes=one.reason_codes,
            rate=one.rate,
            amount=one.amount,
            amount_if_uncertain=one.amount_if_uncertain,
            why=_why(one),
            change=_change(earlier.get(one.programme), one),
            checked=year <= checked[one.programme],
        )
        for one in assessed.answers
    )
    return CreditYear(
        year=year,
        completed_on=day,
        programmes=programmes,
        total=assessed.total.sure,
        total_if_uncertain=assessed.total.if_everything,
    )


def _why(answer: CreditAnswer) -> str:
    if answer.status == "eligible":
        rate = f" at {_percent(answer.rate)}" if answer.rate else ""
        return f"The costs marked eligible count{rate}."
    deciding = answer.because[: len(answer.reason_codes)]
    return " ".join(reason.text for reason in deciding)


def _change(before: CreditAnswer | None, answer: CreditAnswer) -> str:
    if before is None:
        return ""
    if before.status != answer.status:
        return f"from {_plainly(before.status)} to {_plainly(answer.status)}: {_why(answer)}"
    if before.reason_codes != answer.reason_codes:
        return f"for another reason: {_why(answer)}"
    if answer.status == "not_eligible":
        return ""
    if before.rate != answer.rate:
        return f"the rate goes from {_percent(before.rate)} to {_percent(answer.rate)}"
    return _change_of_amount(before, answer)


def _change_of_amount(before: CreditAnswer, answer: CreditAnswer) -> str:
    """What moves the amount where verdict, reasons and rate stay: the first reading that does."""
    same = _counted(before) == _counted(answer)
    sure = _moved_amount(_sure(before), _sure(answer), same)
    most = _moved_amount(before.if_everything, answer.if_everything, same)
    # Of an open claim nothing is sure; then the reading in which it is allowed tells.
    return sure or most if answer.status == "eligible" else most or sure


def _sure(answer: CreditAnswer) -> Outcome:
    return Outcome(answer.base, answer.tentative, answer.amount, answer.carryforward)


def _moved_amount(before: Outcome, now: Outcome, same_costs: bool) -> str:
    if before.amount == now.amount:
        return ""
    if before.base != now.base:
        words = "another sum comes off the costs" if same_costs else "other costs count"
        return f"{words}; the base goes {_from_to(before.base, now.base)}"
    if before.tentative != now.tentative:
        figures = _from_to(before.tentative, now.tentative)
        return f"another amount or cap holds; the credit goes {figures}"
    figures = _from_to(before.amount, now.amount)
    return f"the tax leaves another sum for it; what can be used goes {figures}"


def _counted(answer: CreditAnswer) -> list[tuple[bool, bool]]:
    return [(line.status != "not_eligible", line.in_base) for line in answer.lines]


def _from_to(before: Decimal, now: Decimal) -> str:
    return f"from {before:,.2f} to {now:,.2f}"


def _plainly(status: Status) -> str:
    return status.replace("_", " ")


def _percent(rate: Decimal) -> str:
    return f"{plain(rate * HUNDRED)} %"
