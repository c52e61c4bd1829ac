"""The schedule of the transfer equipment: what stands at each position."""

from dataclasses import dataclass

from estimator.documents.pictures.svg import draw, lines_of
from estimator.documents.records import FullEstimate
from estimator.sizing.records import CircuitDesign

NAME_COLUMNS = 34
ROW, LINE, TOP = 30, 16, 84


@dataclass(frozen=True, slots=True)
class _Cell:
    position: str
    lines: tuple[str, ...]
    details: str


@dataclass(frozen=True, slots=True)
class _Row:
    y: int
    height: int
    left: _Cell
    right: _Cell


_FREE = ("free",)


def panel_schedule_picture(estimate: FullEstimate) -> str:
    """SVG of the schedule: odd positions on the left, even ones on the right.

    Where circuits stay in the load centre they are listed in order, without positions.
    """
    transfer = estimate.design.transfer
    circuits = estimate.design.circuits
    numbered = any(one.position not in ("", "as wired") for one in circuits)
    cells = _numbered_cells(estimate) if numbered else [_cell("", one) for one in circuits]
    rows: list[_Row] = []
    y = TOP
    for place in range(0, len(cells), 2):
        left = cells[place]
        right = cells[place + 1] if place + 1 < len(cells) else _Cell("", (), "")
        height = ROW + LINE * (max(len(left.lines), len(right.lines), 1))
        rows.append(_Row(y, height, left, right))
        y += height
    told = "; ".join(
        " ".join((cell.position, *cell.lines, cell.details)).strip()
        for row in rows
        for cell in (row.left, row.right)
        if cell.lines
    )
    return draw(
        "panel_schedule.svg.jinja",
        name=estimate.job.name,
        method=transfer.method.replace("_", " "),
        rating=transfer.rating_a,
        places="positions as numbered on the equipment"
        if numbered
        else "circuits stay where they are in the load centre, legs as best balanced",
        numbered=numbered,
        rows=rows,
        bottom=y,
        description=told,
    )


def _numbered_cells(estimate: FullEstimate) -> list[_Cell]:
    at: dict[int, CircuitDesign] = {}
    for one in estimate.design.circuits:
        for position in _positions(one.position):
            at[position] = one
    spaces = max([estimate.design.transfer.spaces, *at])
    return [
        _cell(str(place), at[place]) if place in at else _Cell(str(place), _FREE, "")
        for place in range(1, spaces + 1)
    ]


def _cell(position: str, circuit: CircuitDesign) -> _Cell:
    wire = f", {circuit.conductor_size}" if circuit.conductor_size else ""
    details = f"{circuit.breaker_a} A {circuit.poles}-pole, {circuit.leg}{wire}"
    return _Cell(position, lines_of(circuit.name, NAME_COLUMNS), details)


def _positions(text: str) -> tuple[int, ...]:
    return tuple(int(each) for each in text.split("-") if each.isdigit())
