"""A table of a file as read: its rows as lists of text cells, from the first row on."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

Rows = Callable[[], Iterator[list[str]]]
# Ranges of merged cells: first row, first column, last row, last column, all from 1.
Merged = tuple[tuple[int, int, int, int], ...]


@dataclass(frozen=True, slots=True)
class Table:
    """One sheet of a workbook, or the rows of a text.

    sheet: its name; blank for a text. delimiter: blank for a workbook. rows: gives them anew
    each time, blank ones as lists without a text in them; cells of workbooks may be marked (see
    cell_text.py). merged: ranges of merged cells.
    """

    sheet: str
    delimiter: str
    rows: Rows
    merged: Merged = ()


@dataclass(frozen=True, slots=True)
class SheetLeftOut:
    """A sheet that holds no items, and why."""

    sheet: str
    why: str


def fill_down(rows: list[list[str]], merged: Merged, most: int) -> None:
    """Write the text of cells that are merged over several rows into each of these rows.

    A cell that is merged over columns keeps its text in the first. most: cells that are filled
    at most; merged ranges after that are left alone.
    """
    for first, column, last, _ in merged:
        if last <= first or first > len(rows) or len(rows[first - 1]) < column:
            continue
        text = rows[first - 1][column - 1]
        for cells in rows[first : min(last, len(rows))] if text else ():
            most -= 1
            if most < 0:
                return
            if len(cells) < column:
                cells += [""] * (column - len(cells))
            cells[column - 1] = cells[column - 1] or text
