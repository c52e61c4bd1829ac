"""Hours per unit of each task: our own table, and a contractor's table put over it."""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from functools import cache

from estimator.finding import Fault, InputRefused
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.takeoff.table_rows import LabourUnit

COLUMNS = ("code", "task", "unit", "low_h", "typical_h", "high_h")
MAX_CHARACTERS = 1_000_000
MAX_ROWS = 1_000
MAX_HOURS = Decimal(1000)

LabourUnits = Mapping[str, LabourUnit]


@dataclass(frozen=True, slots=True)
class _Hours:
    low: Decimal
    typical: Decimal
    high: Decimal


@cache
def load_labour_units() -> LabourUnits:
    """The package's own labour units by code, in the order in which the work is done."""
    rows = read_table(
        package_text("estimator.takeoff", "tables/labour_units.csv"),
        LabourUnit,
        name="labour_units.csv",
        key=("code",),
        sources=load_sources(),
    )
    return {row.code: row for row in rows}


def read_labour_units(text: str, name: str) -> LabourUnits:
    """All labour units, with the rows of a contractor's CSV in place of ours.

    text: columns code, task, unit, low_h, typical_h, high_h; a code that is not in it keeps
    our hours. Raises InputRefused with every fault and its row: wrong columns, unknown code
    or unit, code twice, hours that are not numbers, are negative or out of order.
    """
    if len(text) > MAX_CHARACTERS:
        raise _refused(name, [_too_much(f"{len(text)} characters", f"{MAX_CHARACTERS}")])
    grid = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""))
    try:
        rows = [(grid.line_num, cells) for cells in grid if any(cell.strip() for cell in cells)]
    except csv.Error as error:
        raise _refused(name, [Fault(f"row {grid.line_num}", f"is not CSV: {error}")]) from None
    if not rows:
        raise _refused(name, [Fault("row 1", f"is empty; begin with {', '.join(COLUMNS)}")])
    if len(rows) > MAX_ROWS:
        raise _refused(name, [_too_much(f"{len(rows)} rows", f"{MAX_ROWS} rows")])
    header = tuple(cell.strip() for cell in rows[0][1])
    if header != COLUMNS:
        message = f"the columns are {', '.join(header)}; they must be {', '.join(COLUMNS)}"
        raise _refused(name, [Fault("row 1", message)])
    return _overlaid(name, rows[1:])


def _overlaid(name: str, rows: Sequence[tuple[int, Sequence[str]]]) -> LabourUnits:
    ours = load_labour_units()
    units = dict(ours)
    faults: list[Fault] = []
    seen: dict[str, int] = {}
    for number, cells in rows:
        place = f"row {number}"
        if len(cells) != len(COLUMNS):
            faults.append(Fault(place, f"has {len(cells)} cells; it must have {len(COLUMNS)}"))
            continue
        code, task, unit, *hours_text = (cell.strip() for cell in cells)
        found = _name_faults(place, code, task, unit, ours, seen)
        hours = _hours(place, hours_text, found)
        seen.setdefault(code, number)
        if hours is not None and not found:
            units[code] = replace(
                ours[code],
                task=task,
                low_h=hours.low,
                typical_h=hours.typical,
                high_h=hours.high,
                source="contractor_labour_table",
            )
        faults += found
    if not rows:
        faults.append(Fault("row 2", "is missing; give at least one task, or no file at all"))
    if faults:
        raise _refused(name, faults)
    return units


def _name_faults(
    place: str, code: str, task: str, unit: str, ours: LabourUnits, seen: Mapping[str, int]
) -> list[Fault]:
    faults = []
    if code not in ours:
        faults.append(
            Fault(
                f"{place}, column code",
                f"{code!r} is not a task we know; the codes are {', '.join(ours)}",
            )
        )
    elif unit != ours[code].unit:
        faults.append(
            Fault(
                f"{place}, column unit",
                f"{unit!r} is not the unit of {code}; give its hours per {ours[code].unit!r}",
            )
        )
    if code in seen:
        faults.append(
            Fault(f"{place}, column code", f"{code!r} stands in row {seen[code]} already")
        )
    if not task:
        faults.append(Fault(f"{place}, column task", "is blank; say what the task is"))
    return faults


def _hours(place: str, cells: Sequence[str], faults: list[Fault]) -> _Hours | None:
    values: list[Decimal] = []
    for column, cell in zip(COLUMNS[3:], cells, strict=True):
        try:
            value = Decimal(cell)
        except InvalidOperation:
            value = Decimal("NaN")
        if not value.is_finite():
            message = f"{cell!r} is not a number of hours; write it like 0.5"
            faults.append(Fault(f"{place}, column {column}", message))
        elif value < 0 or value > MAX_HOURS:
            message = f"{cell} hours cannot be; give 0 to {MAX_HOURS}"
            faults.append(Fault(f"{place}, column {column}", message))
        else:
            values.append(value)
    if len(values) != 3:
        return None
    hours = _Hours(*values)
    if not hours.low <= hours.typical <= hours.high:
        message = (
            f"low {hours.low}, typical {hours.typical}, high {hours.high} hours are out of "
            "order; low may not exceed typical, nor typical high"
        )
        faults.append(Fault(place, message))
        return None
    return hours


def _too_much(read: str, limit: str) -> Fault:
    return Fault("", f"{read} are more than a labour table may have; the limit is {limit}")


def _refused(name: str, faults: list[Fault]) -> InputRefused:
    named = tuple(
        Fault(f"{name}, {fault.where}" if fault.where else name, fault.message) for fault in faults
    )
    return InputRefused("labour units", named)
