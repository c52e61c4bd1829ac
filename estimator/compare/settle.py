"""From a draft to a way: its credit, its range and its cost for each thing that it gives."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from estimator.basis import Because, because
from estimator.compare.drafts import Draft, notes_of
from estimator.compare.records import HireQuote, Way
from estimator.compare.tables import CompareTables
from estimator.compare.three_point import NINETIETH, ThreePoint, range_of_sum
from estimator.credits.records import CreditAnswer
from estimator.money import ZERO, to_cents
from estimator.sizing.records import LoadStudy

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
    "The credit is that of this way's own costs, usable in its first year, as if nothing else "
    "were claimed or carried in; it is worked out on the likely costs.",
    "own_convention",
)
_NO_OUTAGE = because(
    "The cost of an outage hour is not worked out: a job does not tell how long the grid fails.",
    "own_convention",
)
_NO_VALUE = because(
    "The worth of an own hour is not told, so own hours are shown and not valued.",
    "job_description",
)


def settle(
    draft: Draft, answers: Sequence[CreditAnswer], study: LoadStudy, tables: CompareTables
) -> Way:
    """The way of a draft. answers: of the credit programmes on its cost lines."""
    cash = sum((cost.paid for cost in draft.costs), ZERO)
    credit = sum((answer.amount for answer in answers), ZERO)
    if_allowed = sum((answer.if_allowed.amount for answer in answers), ZERO)
    after = cash - credit
    value = draft.job.comparison.own_hour_value if draft.own else ZERO
    hours_value: Decimal | None = ZERO
    if draft.own and draft.hours.high:
        hours_value = None if value is None else to_cents(value * draft.hours.likely)
    spread = _range(draft, value or ZERO)
    supply = draft.job.supply.price
    return Way(
        way=draft.way,
        cash_cost=cash,
        supply_cost=supply,
        costs=draft.costs,
        tools=draft.tools,
        hours_low=draft.hours.low,
        hours=draft.hours.likely,
        hours_high=draft.hours.high,
        own_hours_value=hours_value,
        credit=credit,
        credit_if_allowed=if_allowed,
        cost_after_credit=after,
        cost_after_credit_if_allowed=cash - if_allowed,
        whole_cost=after + (hours_value or ZERO),
        low=spread.low - credit,
        likely=spread.likely - credit,
        high=spread.high - credit,
        circuits=draft.circuits,
        cost_per_circuit=_for_each(after, Decimal(draft.circuits)),
        cost_per_kwh=_for_each(after, study.lifetime_kwh, places=4),
        cost_per_outage_hour=None,
        break_even_hour_value=None,
        hire_quotes=(),
        leaves_out=draft.left_out,
        may_be_forbidden=notes_of(draft.way, "forbidden", draft.job, tables),
        not_known=draft.not_known,
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


def quotes_beside(own: Way, quotes: Sequence[Decimal]) -> tuple[HireQuote, ...]:
    """The quotes of others, each with the own-hour value at which it costs what own work does."""
    supply = own.supply_cost or ZERO
    return tuple(
        HireQuote(
            quote,
            quote + supply,
            to_cents((quote + supply - own.cash_cost) / own.hours) if own.hours else None,
        )
        for quote in quotes
    )


def _range(draft: Draft, hour_value: Decimal) -> ThreePoint:
    amounts = [ThreePoint(cost.low, cost.paid, cost.high) for cost in draft.costs]
    if draft.own and hour_value:
        amounts.append(draft.hours.times(hour_value))
    return range_of_sum(amounts)


def _for_each(cost: Decimal, count: Decimal | None, places: int = 2) -> Decimal | None:
    return None if not count else (cost / count).quantize(Decimal(1).scaleb(-places))


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
    yield _METHOD
    yield _NORMAL
    yield _NO_OUTAGE
