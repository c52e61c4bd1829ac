"""Which cost of the credit rules a task of labour belongs to."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from estimator.money import ZERO
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.takeoff.records import LabourTask

SHARED = "shared"


@dataclass(frozen=True, slots=True)
class LabourCost:
    """The cost code of a task; "shared" for work that serves all the other tasks."""

    task: str
    cost_code: str
    source: str


@cache
def load_labour_costs() -> Mapping[str, LabourCost]:
    """The package's own table by task, read once in a process. Raises TableError."""
    name = "rules/labour_costs.csv"
    text = package_text("estimator.credits", name)
    rows = read_table(text, LabourCost, name=name, key=("task",), sources=load_sources().keys())
    return {row.task: row for row in rows}


def hours_by_cost(tasks: Iterable[LabourTask]) -> dict[str, Decimal]:
    """Hours of each cost code, in order of appearance.

    Hours of shared tasks, and of tasks that the table does not know, are left out: whoever
    divides by these hours spreads them over the rest in proportion. When nothing else is
    there, all of it is "labour_install".
    """
    known = load_labour_costs()
    hours: dict[str, Decimal] = {}
    for task in tasks:
        row = known.get(task.code)
        if row is not None and row.cost_code != SHARED:
            hours[row.cost_code] = hours.get(row.cost_code, ZERO) + task.hours
    return hours or {"labour_install": Decimal(1)}
