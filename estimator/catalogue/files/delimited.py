"""Rows of delimited text, streamed."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from itertools import islice
from typing import BinaryIO

from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.files.table import Table

DELIMITERS = (",", ";", "\t", "|")
# With fewer cells a text with a few commas may look like a row.
_LEAST_CELLS = 4
_AT_ONCE = 64


def text_table(file: BinaryIO, encoding: str, delimiter: str, name: str) -> Table:
    """The table of a text, by one delimiter. Rows are read from the file anew each time."""
    return Table("", delimiter, partial(_rows, file, encoding, delimiter, name))


def _rows(file: BinaryIO, encoding: str, delimiter: str, name: str) -> Iterator[list[str]]:
    """Rows as lists of cells. Raises InputRefused where a quotation mark is left open."""
    file.seek(0)
    text = io.TextIOWrapper(file, encoding, newline="")
    try:
        for rows in _checked(text, delimiter, name):
            yield from rows
    finally:
        # The file is ours to read again; the wrapper would close it.
        text.detach()


def _checked(text: Iterable[str], delimiter: str, name: str) -> Iterator[list[list[str]]]:
    """Rows a few at a time: together they are looked at more quickly than one by one."""
    reader = csv.reader(text, delimiter=delimiter)
    line, width, row = 0, _LEAST_CELLS, 0
    while True:
        rows: list[list[str]] = []
        wrong = False
        try:
            rows.extend(islice(reader, _AT_ONCE))
        except csv.Error:
            wrong = True  # What came before it is in the rows.
        if wrong or reader.line_num != line + len(rows):
            yield from _one_by_one(rows, width, delimiter, name, row)
        elif rows:
            yield rows
        row += len(rows)
        line = reader.line_num
        width = max(width, max(map(len, rows), default=0))
        if wrong:
            raise refuse(
                name,
                "a cell has more than 100,000 characters. Is a quotation mark left open?",
                f"row {row + 1}",
            )
        if len(rows) < _AT_ONCE:
            return


def _one_by_one(
    rows: Sequence[list[str]], width: int, delimiter: str, name: str, before: int
) -> Iterator[list[list[str]]]:
    """Rows of which some take several lines. width: of the widest before; before: their number."""
    for row, cells in enumerate(rows, before + 1):
        if any("\n" in cell or "\r" in cell for cell in cells):
            _check_lines(cells, width, delimiter, name, row)
        width = max(width, len(cells))
        yield [cells]


def _check_lines(cells: list[str], width: int, delimiter: str, name: str, row: int) -> None:
    """Refuse a cell whose lines look like rows of the list: they would be lost in it."""
    for cell in cells:
        rows = sum(line.count(delimiter) >= width - 1 for line in cell.splitlines()[1:])
        if rows:
            lines = "1 line" if rows == 1 else f"{rows} lines"
            raise refuse(
                name,
                f"a cell that begins {cell[:30]!r} holds {lines} that look like rows of the "
                "list: a quotation mark is left open. Close it, or double each one that belongs "
                "to the text",
                f"row {row}",
            )
