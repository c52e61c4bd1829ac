"""A way before its credit, its range and its figures per unit are worked out."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from estimator.basis import Because, because
from estimator.compare.inputs import Estimated
from estimator.compare.records import ToolChoice, WayCost, WayName, WayNote
from estimator.compare.tables import CompareTables
from estimator.compare.three_point import ThreePoint
from estimator.credits.records import CostLine
from estimator.job.records import Job
from estimator.money import ZERO
from estimator.pricing.records import GroupPrice

_NOT_THE_OWNER = frozenset({"tenant", "rented_out", "landlord", "not_a_residence"})


@dataclass(frozen=True, slots=True)
class Draft:
    """What one way costs and leaves out.

    job: whose facts its credit rests on. cost_lines: makes what it puts before the credit
    rules, where they are asked; the lines add up to the costs. hours: of whoever does the
    work. own: the hours are one's own.
    """

    way: WayName
    job: Job
    costs: tuple[WayCost, ...]
    cost_lines: Callable[[], tuple[CostLine, ...]]
    tools: tuple[ToolChoice, ...]
    hours: ThreePoint
    own: bool
    circuits: int
    left_out: tuple[WayNote, ...]
    not_known: tuple[str, ...]
    because: tuple[Because, ...]


def supply_costs(job: Job) -> Iterator[WayCost]:
    """The supply at the price that was told, the same in every way; nothing without one."""
    price = job.supply.price
    if price is not None:
        reason = because("Paid in every way, tax included, as told.", "job_description")
        yield WayCost("supply", "the supply itself", price, ZERO, price, price, (reason,))


def ranged_materials(group: GroupPrice, text: str, tables: CompareTables) -> WayCost:
    """The materials of a price, with the range that buying them usually has."""
    row = tables.three_points["materials"]
    paid = group.net + group.sales_tax
    reason = because(
        "Materials vary by what is forgotten, broken or dearer on the day.",
        row.source,
        low_factor=row.low,
        high_factor=row.high,
    )
    return WayCost(
        "materials", text, group.net, group.sales_tax, paid * row.low, paid * row.high, (reason,)
    )


def permit_costs(group: GroupPrice) -> Iterator[WayCost]:
    """The permit as it is paid; nothing when its fee is not known."""
    paid = group.net + group.sales_tax
    if paid:
        reason = because("The permit fee as told.", "job_description")
        yield WayCost("permit", "the permit", group.net, group.sales_tax, paid, paid, (reason,))


def not_known_of(estimated: Estimated) -> Iterator[str]:
    """What is missing from the cost of work that is really wired."""
    job, price = estimated.job, estimated.price
    if job.supply.price is None:
        yield "the price of the supply is not told"
    if job.terms.permit_fee is None:
        yield "the permit fee is not told"
    if price.unpriced:
        count = price.unpriced
        yield f"{count} part{' has' if count == 1 else 's have'} no price in the lists given"
    if any(found.severity == "error" for found in estimated.take_off.findings):
        yield "some of the job could not be taken off; see the findings"


def notes_of(way: WayName, kind: str, job: Job, tables: CompareTables) -> tuple[WayNote, ...]:
    """The notes of the table that hold for a job."""
    applies = {"always"}
    if job.site.residence in _NOT_THE_OWNER:
        applies.add("not_the_owner")
    if job.site.residence == "second_home":
        applies.add("second_home")
    if job.supply.kind == "generator":
        applies.add("generator")
    if not job.supply.portable:
        applies.add("fixed_supply")
    return tuple(
        WayNote(row.text, row.source)
        for row in tables.notes
        if row.way == way and row.kind == kind and row.applies in applies
    )
