"""What the comparison is made from."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.compare.three_point import ThreePoint, in_order
from estimator.credits.records import CostLine, CreditTotal
from estimator.job.records import Job
from estimator.pricing.records import Price
from estimator.sizing.records import Design
from estimator.takeoff.records import LabourTask, TakeOff

# The money that the costs of a job bring in credits; usecases.py knows day and rules.
CreditOf = Callable[[Job, Sequence[CostLine]], CreditTotal]
DOLLARS = "USD"


@dataclass(frozen=True, slots=True)
class Estimated:
    """A job with its take-off and price, on the terms of who does it."""

    job: Job
    take_off: TakeOff
    price: Price


@dataclass(frozen=True, slots=True)
class Compared:
    """One job, as it was estimated and as a contractor would do it.

    given: on the job's own terms. hired: with a contractor's hours and rate; the same as
    given where a contractor does the job anyhow.
    """

    design: Design
    given: Estimated
    hired: Estimated


def hours_of(tasks: Iterable[LabourTask]) -> ThreePoint:
    """Hours of some tasks together. They move together: the same hands do them all."""
    tasks = tuple(tasks)
    zero = Decimal(0)
    return in_order(
        sum([task.hours_low for task in tasks], zero),
        sum([task.hours for task in tasks], zero),
        sum([task.hours_high for task in tasks], zero),
    )
