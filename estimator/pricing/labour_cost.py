"""The cost of labour: hours of the take-off at the rate of the job's labour terms."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import LabourTerms
from estimator.money import HUNDRED, ZERO, to_cents, to_unit_price
from estimator.units import rounded


@dataclass(frozen=True, slots=True)
class LabourCost:
    """Hours to two places times the rate to four is the cost, to the cent.

    bears_profit: whether profit is to be added (it is not yet in the rate).
    """

    hours: Decimal
    rate: Decimal
    cost: Decimal
    bears_profit: bool
    findings: tuple[Finding, ...]
    because: tuple[Because, ...]


def labour_cost(hours: Decimal, terms: LabourTerms) -> LabourCost:
    """The cost of all hours, minimum and travel hours included, of all workers together."""
    printed = rounded(hours, 2)
    if terms.skill == "own":
        reason = because(
            "Own hours are not paid: they are counted, at a rate of 0.00.",
            "job_description",
            hours=printed,
        )
        return LabourCost(printed, ZERO, ZERO, False, (), (reason,))
    if terms.hourly_rate is not None:
        rate, bears_profit = to_unit_price(terms.hourly_rate), False
        reason = because(
            "The hourly rate is what the customer is charged; profit is in it already.",
            "job_description",
            hourly_rate=terms.hourly_rate,
        )
    elif terms.wage is not None:
        rate = to_unit_price(terms.wage * (1 + terms.burden_percent / HUNDRED))
        bears_profit = True
        reason = because(
            "Labour costs the wage plus its burden, rounded to four places an hour.",
            "job_description",
            wage=terms.wage,
            burden_percent=terms.burden_percent,
            rate=rate,
        )
    else:
        return LabourCost(printed, ZERO, ZERO, False, (_no_rate(),), ())
    cost = to_cents(printed * rate)
    product = because(
        "Hours are rounded to two places before they are multiplied by the rate.",
        "own_convention",
        hours=printed,
        rate=rate,
        cost=cost,
    )
    return LabourCost(printed, rate, cost, bears_profit, (), (reason, product))


def _no_rate() -> Finding:
    return Finding(
        "warning",
        "LABOUR_RATE_UNKNOWN",
        "The job gives neither an hourly rate nor a wage; the total leaves labour out.",
        "/labour",
        "job_description",
        "Set labour.hourly_rate, or labour.wage with labour.burden_percent.",
    )
