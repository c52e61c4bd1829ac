"""Finding the head row of a table: below a letterhead, and over one row or two."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from estimator.catalogue.columns.header_words import column_of_head
from estimator.catalogue.files.table import Merged, Table
from estimator.catalogue.header import PRICES, REQUIRED, Column

SEARCHED_ROWS = 20
# What can stand in place of a column that is needed.
_INSTEAD: Mapping[Column, tuple[Column, ...]] = {
    "price": PRICES,
    "kind": ("kind", "description"),
    "attributes": ("attributes", "description"),
}
ColumnOf = Callable[[str], Column | None]


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a table.

    row: number of its last row, from 1; 0 where the table has none. rows: the rows that it takes,
    each as read. cells: what it calls each column. named: the columns that these name, by position.
    """

    row: int
    rows: tuple[tuple[str, ...], ...]
    cells: tuple[str, ...]
    named: Mapping[int, Column]

    @property
    def rank(self) -> tuple[int, int, int, int]:
        """The higher, the likelier: more of what is needed, more columns, fewer rows, first."""
        columns = set(self.named.values())
        needed = sum(bool(columns.intersection(_INSTEAD.get(each, (each,)))) for each in REQUIRED)
        return (needed, len(columns), -len(self.rows), -self.row)


def find_head(table: Table, column_of: ColumnOf = column_of_head) -> Head | None:
    """The likeliest head among the first SEARCHED_ROWS rows; None where no cell names a column.

    Two rows are one head where they together name more columns than either alone.
    """
    rows = list(islice(table.rows(), SEARCHED_ROWS + 1))
    best: Head | None = None
    for head in _candidates(rows, table.merged, column_of):
        if head.named and head.row <= SEARCHED_ROWS and (best is None or head.rank > best.rank):
            best = head
    return best


def head_at(table: Table, row: int, column_of: ColumnOf = column_of_head) -> Head | None:
    """The head in a row that a person named, which may be the lower of two."""
    rows = list(islice(table.rows(), row))
    if len(rows) < row:
        return None
    found = [head for head in _candidates(rows, table.merged, column_of) if head.row == row]
    return max(found, key=lambda head: head.rank, default=None)


def _candidates(
    rows: Sequence[Sequence[str]], merged: Merged, column_of: ColumnOf
) -> Iterator[Head]:
    for number, cells in enumerate(rows, start=1):
        if not any(cell.strip() for cell in cells):
            continue
        single = _head(number, (tuple(cells),), tuple(map(str.strip, cells)), column_of)
        yield single
        if number > 1 and any(cell.strip() for cell in rows[number - 2]):
            upper = _across(rows[number - 2], number - 1, merged, len(cells))
            both = _both(upper, rows[number - 2], cells, column_of)
            yield _head(number, (tuple(rows[number - 2]), tuple(cells)), both, column_of)


def _head(
    row: int, rows: tuple[tuple[str, ...], ...], cells: tuple[str, ...], column_of: ColumnOf
) -> Head:
    named = {at: column for at, cell in enumerate(cells) if (column := column_of(cell)) is not None}
    return Head(row, rows, cells, named)


def _across(upper: Sequence[str], row: int, merged: Merged, width: int) -> list[str]:
    """The upper row of two, the text of merged cells in each of the columns that they span.

    In a text, where merged cells are not told, a blank cell continues the one to its left.
    """
    cells = [cell.strip() for cell in upper] + [""] * (width - len(upper))
    spans = [(left, right) for first, left, last, right in merged if first <= row <= last]
    for left, right in spans:
        for at in range(left, min(right, len(cells))):
            cells[at] = cells[left - 1]
    if not merged:
        for at in range(1, len(cells)):
            cells[at] = cells[at] or cells[at - 1]
    return cells


def _both(
    across: Sequence[str], upper: Sequence[str], lower: Sequence[str], column_of: ColumnOf
) -> tuple[str, ...]:
    """What two rows call each column: the wording that names one, else both texts."""
    cells: list[str] = []
    for at in range(max(len(across), len(lower))):
        below = lower[at].strip() if at < len(lower) else ""
        if not below:
            cells.append(upper[at].strip() if at < len(upper) else "")
            continue
        above = across[at] if at < len(across) else ""
        ways = [f"{above} {below}".strip(), f"{below} {above}".strip(), below]
        cells.append(next((way for way in ways if column_of(way) is not None), ways[0]))
    return tuple(cells)
