"""Hiring somebody: the price of the estimate on a contractor's terms."""

from collections.abc import Iterator

from estimator.basis import because
from estimator.compare.drafts import (
    Draft,
    not_known_of,
    notes_of,
    permit_costs,
    ranged_materials,
    supply_costs,
)
from estimator.compare.inputs import Estimated, hours_of
from estimator.compare.records import WayCost
from estimator.compare.tables import CompareTables
from estimator.compare.three_point import ThreePoint
from estimator.credits.facts import cost_lines
from estimator.pricing.records import GroupPrice

_QUOTED = because(
    "The price of this estimate with a contractor's hours, rate and terms.", "job_description"
)


def hire_way(hired: Estimated, tables: CompareTables) -> Draft:
    """The costs of having it done, and the hours of those who do it."""
    job, price = hired.job, hired.price
    materials, labour, permit = price.groups
    hours = hours_of(hired.take_off.labour)
    return Draft(
        way="hire",
        job=job,
        costs=(
            *supply_costs(job),
            ranged_materials(materials, "materials as the contractor charges them", tables),
            *_labour_costs(labour, hours),
            *permit_costs(permit),
        ),
        cost_lines=lambda: cost_lines(job, hired.take_off, price),
        tools=(),
        hours=hours,
        own=False,
        circuits=len(job.circuits),
        left_out=notes_of("hire", "left_out", job, tables),
        not_known=(*not_known_of(hired), *_rate_not_known(hired)),
        because=(_QUOTED,),
    )


def _labour_costs(labour: GroupPrice, hours: ThreePoint) -> Iterator[WayCost]:
    paid = labour.net + labour.sales_tax
    if not paid:
        return
    low, high = (
        (paid * hours.low / hours.likely, paid * hours.high / hours.likely)
        if hours.likely
        else (paid, paid)
    )
    reason = because(
        "Labour varies as its hours do.",
        "own_labour_table",
        hours_low=hours.low,
        hours=hours.likely,
        hours_high=hours.high,
    )
    yield WayCost(
        "labour", "labour of the contractor", labour.net, labour.sales_tax, low, high, (reason,)
    )


def _rate_not_known(hired: Estimated) -> Iterator[str]:
    labour = hired.job.labour
    if labour.hourly_rate is None and labour.wage is None:
        yield "the rate of the contractor is not told"
