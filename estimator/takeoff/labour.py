"""Hours: quantities of work times unit hours times the factors that hold for them."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from estimator.basis import Because, because
from estimator.takeoff.job_work import inspections
from estimator.takeoff.records import LabourTask
from estimator.takeoff.table_rows import Group, LabourFactor
from estimator.takeoff.taking import Taking
from estimator.takeoff.work_list import Work

_STEP = Decimal("0.01")
_ONE = Decimal(1)


@dataclass(frozen=True, slots=True)
class _Multiplier:
    low: Decimal
    typical: Decimal
    high: Decimal
    because: tuple[Because, ...]


def count_hours(taking: Taking) -> tuple[LabourTask, ...]:
    """All tasks with their hours [h, of one person], in the order of the labour table.

    Hours are rounded half up to 0.01 task by task, so that printed lines add up.
    """
    chosen = _chosen_factors(taking)
    units = taking.tables.labour
    rank = {code: place for place, code in enumerate(units)}
    multipliers: dict[tuple[Group, bool], _Multiplier] = {}
    tasks: list[LabourTask] = []
    for work in sorted(taking.work.all(), key=lambda work: rank[work.code]):
        key = (units[work.code].group, work.masonry)
        if key not in multipliers:
            multipliers[key] = _multiplier(taking, chosen, *key)
        tasks.append(_task(taking, work, multipliers[key]))
    tasks += _travel(taking, chosen)
    tasks = [task for task in tasks if task.hours_high]
    return (*tasks, *_minimum(taking, tasks))


def _task(taking: Taking, work: Work, factor: _Multiplier) -> LabourTask:
    tables = taking.tables
    unit = tables.labour[work.code]
    quantity = _round(work.quantity)
    return LabourTask(
        work.code,
        unit.task,
        quantity,
        unit.unit,
        _round(quantity * unit.low_h * factor.low),
        _round(quantity * unit.typical_h * factor.typical),
        _round(quantity * unit.high_h * factor.high),
        (*work.because, tables.labour_reasons[work.code], *factor.because),
    )


def _round(amount: Decimal) -> Decimal:
    return amount.quantize(_STEP, ROUND_HALF_UP)


def _chosen_factors(taking: Taking) -> tuple[LabourFactor, ...]:
    """The user's factors, each once; a warning for a name that is not in the table."""
    factors = taking.tables.factors
    open_to_user = [name for name, row in factors.items() if not row.automatic]
    chosen: dict[str, LabourFactor] = {}
    for place, name in enumerate(taking.job.labour.factors):
        if name in open_to_user:
            chosen[name] = factors[name]
            continue
        told = (
            "is applied by the estimator itself where it holds"
            if name in factors
            else "is not a factor we know, so it was left out of the hours"
        )
        taking.find(
            "warning",
            "LABOUR_FACTOR_NOT_USED",
            f"Labour factor {name!r} {told}.",
            f"/labour/factors/{place}",
            "own_labour_table",
            f"Use names from this list: {', '.join(open_to_user)}.",
        )
    if taking.job.labour.skill == "own":
        chosen["first_time"] = factors["first_time"]
    return tuple(chosen.values())


def _multiplier(
    taking: Taking, chosen: Sequence[LabourFactor], group: Group, masonry: bool
) -> _Multiplier:
    low = typical = high = _ONE
    reasons: list[Because] = []
    rows = (*chosen, taking.tables.factors["masonry"]) if masonry else chosen
    for row in rows:
        if group not in row.groups.split():
            continue
        low, typical, high = low * row.low, typical * row.typical, high * row.high
        reasons.append(
            because(
                f"Factor {row.name}: {row.reason}.",
                row.source,
                low=row.low,
                typical=row.typical,
                high=row.high,
            )
        )
    return _Multiplier(low, typical, high, tuple(reasons))


def _travel(taking: Taking, chosen: Sequence[LabourFactor]) -> list[LabourTask]:
    labour = taking.job.labour
    if labour.skill == "own":
        return []
    unit = taking.tables.labour["travel"]
    visits = len(inspections(taking))
    if labour.travel_hours is not None:
        reason = because(
            "Travel of the whole job as told, for each of the crew.",
            "job_description",
            travel_h=labour.travel_hours,
            crew=labour.crew,
        )
        hours = _round(labour.travel_hours * labour.crew)
        return [
            LabourTask(
                "travel", unit.task, Decimal(labour.crew), "person", hours, hours, hours, (reason,)
            )
        ]
    reason = because(
        "The crew travels to the work and one person to each inspection.",
        "own_convention",
        crew=labour.crew,
        inspections=visits,
    )
    work = Work("travel", False, Decimal(labour.crew + visits), [reason])
    return [_task(taking, work, _multiplier(taking, chosen, "visit", False))]


def _minimum(taking: Taking, tasks: Sequence[LabourTask]) -> list[LabourTask]:
    """What is wanting to the minimum call-out of a contractor's crew."""
    labour = taking.job.labour
    least = labour.minimum_hours * labour.crew
    typical = sum((task.hours for task in tasks), Decimal(0))
    if labour.skill == "own" or typical >= least:
        return []
    reason = because(
        "A small job is charged at the minimum call-out of the crew.",
        "job_description",
        minimum_h=labour.minimum_hours,
        crew=labour.crew,
        worked_h=typical,
    )
    low = sum((task.hours_low for task in tasks), Decimal(0))
    high = sum((task.hours_high for task in tasks), Decimal(0))
    zero = Decimal(0)
    short = _round(least - typical)
    return [
        LabourTask(
            "minimum_call_out",
            "top up to the minimum call-out",
            _ONE,
            "job",
            _round(max(zero, least - low)),
            short,
            _round(max(zero, least - high)),
            (reason,),
        )
    ]
