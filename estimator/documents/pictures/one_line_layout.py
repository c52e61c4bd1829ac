"""Where everything of the one-line diagram stands, in units of the picture."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.documents.pictures.one_line_words import CircuitRow, Station, Step, Symbol
from estimator.documents.pictures.svg import lines_of

WIDTH = 830
LEFT_X, RIGHT_X, BUS_X = 60, 450, 310
TEXT_DX = 34
COLUMNS = 46
LINE = 17
STATION_HALF = 22
GAP = 12
TOP = 70
CIRCUIT_ROW = 24
CIRCUIT_COLUMNS = 28


@dataclass(frozen=True, slots=True)
class Words:
    """Lines of words from a point down. strong: whether the first is a name."""

    x: int
    y: int
    lines: tuple[str, ...]
    strong: bool


@dataclass(frozen=True, slots=True)
class Mark:
    """A symbol around a point."""

    symbol: Symbol
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class Wire:
    """A line down from y1 to y2; dashed where it is a cord."""

    x: int
    y1: int
    y2: int
    dashed: bool


@dataclass(frozen=True, slots=True)
class Row:
    """A circuit's row: y of its branch and its words."""

    y: int
    position: str
    lines: tuple[str, ...]
    details: str


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole picture. transfer_y: middle of the transfer equipment's box."""

    width: int
    height: int
    marks: tuple[Mark, ...]
    wires: tuple[Wire, ...]
    words: tuple[Words, ...]
    transfer: Mark
    transfer_words: Words
    transfer_top: int
    transfer_bottom: int
    rows: tuple[Row, ...]
    description: str


@dataclass(slots=True)
class _Column:
    x: int
    y: int
    marks: list[Mark]
    wires: list[Wire]
    words: list[Words]


def lay_out(
    left: Sequence[Step], right: Sequence[Step], transfer: Station, circuits: Sequence[CircuitRow]
) -> Plan:
    """Both ways side by side down to the transfer equipment, the circuits below it."""
    columns = [_column(LEFT_X, left), _column(RIGHT_X, right)]
    top = max(column.y for column in columns)
    for column in columns:
        column.wires.append(Wire(column.x, column.y, top + 14, dashed=False))
    head = lines_of(transfer.name, 42)
    lines = (*head, *(line for detail in transfer.details for line in lines_of(detail, 40)))
    height = max(96, LINE * len(lines) + 28)
    rows: list[Row] = []
    y = top + height + 34
    for circuit in circuits:
        names = lines_of(circuit.name, CIRCUIT_COLUMNS)
        rows.append(Row(y, circuit.position, names, circuit.details))
        y += CIRCUIT_ROW + LINE * (len(names) - 1)
    return Plan(
        width=WIDTH,
        height=y + 6,
        marks=tuple(mark for column in columns for mark in column.marks),
        wires=tuple(wire for column in columns for wire in column.wires),
        words=tuple(words for column in columns for words in column.words),
        transfer=Mark(transfer.symbol, BUS_X, top + height // 2),
        transfer_words=Words(RIGHT_X + TEXT_DX, top + 26, lines, strong=True),
        transfer_top=top,
        transfer_bottom=top + height,
        rows=tuple(rows),
        description=_in_words(left, right, transfer, circuits),
    )


def _column(x: int, steps: Sequence[Step]) -> _Column:
    column = _Column(x, TOP, [], [], [])
    for step in steps:
        if isinstance(step, Station):
            _stand(column, step)
        else:
            lines = _wrapped(step.details)
            length = LINE * len(lines) + 2 * GAP
            column.wires.append(Wire(x, column.y, column.y + length, step.flexible))
            column.words.append(Words(x + TEXT_DX, column.y + GAP + 12, lines, strong=False))
            column.y += length
    return column


def _stand(column: _Column, station: Station) -> None:
    lines = (*lines_of(station.name, COLUMNS), *_wrapped(station.details))
    middle = column.y + STATION_HALF
    column.marks.append(Mark(station.symbol, column.x, middle))
    column.words.append(Words(column.x + TEXT_DX, middle - 6, lines, strong=True))
    below = column.y + 2 * STATION_HALF
    bottom = max(below, middle + LINE * (len(lines) - 1) + GAP)
    if bottom > below:
        column.wires.append(Wire(column.x, below, bottom, dashed=False))
    column.y = bottom


def _wrapped(details: Sequence[str]) -> tuple[str, ...]:
    return tuple(line for detail in details for line in lines_of(detail, COLUMNS))


def _in_words(
    left: Sequence[Step], right: Sequence[Step], transfer: Station, circuits: Sequence[CircuitRow]
) -> str:
    def told(steps: Sequence[Step]) -> str:
        return "; ".join(
            " ".join((step.name, *step.details))
            if isinstance(step, Station)
            else ", ".join(step.details)
            for step in steps
        )

    rows = "; ".join(f"{one.position} {one.name}, {one.details}".strip() for one in circuits)
    return (
        f"From the supply: {told(left)}. From the utility: {told(right)}. Both meet in: "
        f"{transfer.name}, {', '.join(transfer.details)}. Circuits: {rows}."
    )
