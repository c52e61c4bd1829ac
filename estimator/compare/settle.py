"""From a draft to a way: its credit, its range and its cost for each thing that it gives."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from estimator.basis import Because, because
from estimator.compare.drafts import Draft, notes_of
from estimator.compare.loan import interest_of, loan_costs, loan_not_known
from estimator.compare.records import HireQuote, Way, WayCost
from estimator.compare.tables import CompareTables
from estimator.compare.three_point import NINETIETH, ThreePoint, range_of_sum
from estimator.credits.records import CreditTotal
from estimator.job.records import ComparisonTerms, Job
from estimator.money import ZERO, to_cents
from estimator.sizing.records import LoadStudy
from estimator.units import rounded

_METHOD = because(
    "Low, likely and high are the 10th, 50th and 90th percentile of the whole cost: each group of "
    "costs and the own hours are beta distributed between their three points and independent.",
    "pert_three_point",
)
_NORMAL = because(
    "Their sum is taken as normal, corrected for its skewness, within the sums of the low and of "
    "the high values.",
    "normal_sum",
    deviations=NINETIETH,
)
_CREDIT = because(
    "The credit is what the likely costs of this way bring in their first year, all programmes "
    "together. Interest brings none.",
    "own_convention",
)
_CREDIT_OF_OTHERS = because(
    "Panel work told for the credit and a credit left from an earlier year are in no way, neither "
    "cost nor credit: both would be there anyhow. They use the tax first; this credit is what the "
    "tax then leaves for it.",
    "own_convention",
)
_NO_VALUE = because(
    "The worth of an own hour is not told, so own hours are shown and not valued.",
    "job_description",
)


def settle(draft: Draft, credit: CreditTotal, study: LoadStudy, tables: CompareTables) -> Way:
    """The way of a draft. credit: what its cost lines bring."""
    paid = sum((cost.paid for cost in draft.costs), ZERO)
    costs = (*draft.costs, *loan_costs(draft.job, paid))
    cash = sum((cost.paid for cost in costs), ZERO)
    after = cash - credit.sure
    terms = draft.job.comparison
    value = terms.own_hour_value if draft.own else ZERO
    hours_value: Decimal | None = ZERO
    if draft.own and draft.hours.high:
        hours_value = None if value is None else to_cents(value * draft.hours.likely)
    spread = _range(draft, costs, value or ZERO)
    supply = draft.job.supply.price
    return Way(
        way=draft.way,
        cash_cost=cash,
        supply_cost=supply,
        costs=costs,
        tools=draft.tools,
        hours_low=draft.hours.low,
        hours=draft.hours.likely,
        hours_high=draft.hours.high,
        own_hours_value=hours_value,
        credit=credit.sure,
        credit_if_allowed=credit.if_allowed,
        cost_after_credit=after,
        cost_after_credit_if_allowed=cash - credit.if_allowed,
        whole_cost=after + (hours_value or ZERO),
        low=spread.low - credit.sure,
        likely=spread.likely - credit.sure,
        high=spread.high - credit.sure,
        circuits=draft.circuits,
        cost_per_circuit=_for_each(after, Decimal(draft.circuits)),
        cost_per_kwh=_for_each(after, study.lifetime_kwh, places=4),
        cost_per_outage_hour=_for_each(after, _outage_hours(terms)),
        break_even_hour_value=None,
        hire_quotes=(),
        leaves_out=draft.left_out,
        may_be_forbidden=notes_of(draft.way, "forbidden", draft.job, tables),
        not_known=(*draft.not_known, *loan_not_known(draft.job, paid)),
        because=(*draft.because, *_reasons(draft, hours_value, value)),
    )


def break_even(own: Way, hire: Way) -> tuple[Decimal | None, Because | None]:
    """Worth of an own hour [money/h] at which both cost the same after credit, and why."""
    if not own.hours:
        return None, None
    worth = to_cents((hire.cost_after_credit - own.cost_after_credit) / own.hours)
    text = (
        "An own hour worth more than this makes hiring the cheaper way."
        if worth > 0
        else "Hiring costs no more than doing it oneself, whatever an own hour is worth."
    )
    reason = because(
        f"What hiring costs more after credit, over the own hours. {text}",
        "arithmetic",
        hire_after_credit=hire.cost_after_credit,
        own_after_credit=own.cost_after_credit,
        own_hours=own.hours,
    )
    return worth, reason


def quotes_beside(own: Way, job: Job) -> tuple[HireQuote, ...]:
    """The quotes of others, each with the own-hour value at which it costs what own work does."""
    return tuple(_quote(own, quote, job) for quote in job.comparison.hire_quotes)


def _quote(own: Way, quote: Decimal, job: Job) -> HireQuote:
    with_supply = quote + (own.supply_cost or ZERO)
    interest = interest_of(job, with_supply)
    worth = None
    if own.hours and interest is not None:
        worth = to_cents((with_supply + interest - own.cash_cost) / own.hours)
    return HireQuote(quote, with_supply, interest, worth)


def _range(draft: Draft, costs: Sequence[WayCost], hour_value: Decimal) -> ThreePoint:
    amounts = [ThreePoint(cost.low, cost.paid, cost.high) for cost in costs]
    if draft.own and hour_value:
        amounts.append(draft.hours.times(hour_value))
    return range_of_sum(amounts)


def _for_each(cost: Decimal, count: Decimal | None, places: int = 2) -> Decimal | None:
    return None if not count else rounded(cost / count, places)


def _outage_hours(terms: ComparisonTerms) -> Decimal | None:
    """Hours of outage over the years of use [h]."""
    if terms.outage_hours_per_year is None or terms.years_of_use is None:
        return None
    return terms.outage_hours_per_year * terms.years_of_use


def _on_outages(terms: ComparisonTerms) -> Because:
    hours, years = terms.outage_hours_per_year, terms.years_of_use
    if hours is None or years is None:
        missing = [
            words
            for words, told in (
                ("the hours of outage in a year", hours),
                ("the years of use", years),
            )
            if told is None
        ]
        return because(
            f"The cost of an outage hour is not worked out: not told are {' and '.join(missing)}.",
            "job_description",
        )
    return because(
        "The cost of an outage hour is what is left after credit, over the hours of outage in the "
        "years of use, as if the supply ran through all of them.",
        "job_description",
        outage_hours_per_year=hours,
        years_of_use=years,
    )


def _reasons(draft: Draft, hours_value: Decimal | None, value: Decimal | None) -> Iterator[Because]:
    if hours_value is None:
        yield _NO_VALUE
    elif hours_value and value is not None:
        yield because(
            "Own hours at the worth that is told; no money is paid for them.",
            "job_description",
            own_hour_value=value,
            hours=draft.hours.likely,
            value=hours_value,
        )
    yield _CREDIT
    claim = draft.job.credit_claim
    if claim.panel_upgrade.cost or claim.carryforward_in:
        yield _CREDIT_OF_OTHERS
    yield _METHOD
    yield _NORMAL
    yield _on_outages(draft.job.comparison)
