"""Rows of delimited text, streamed."""

import csv
import io
from collections.abc import Iterable, Iterator
from functools import partial
from typing import BinaryIO

from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.files.table import Table

DELIMITERS = (",", ";", "\t", "|")
# With fewer cells a text with a few commas may look like a row.
_LEAST_CELLS = 4


def text_table(file: BinaryIO, encoding: str, delimiter: str, name: str) -> Table:
    """The table of a text, by one delimiter. Rows are read from the file anew each time."""
    return Table("", delimiter, partial(_rows, file, encoding, delimiter, name))


def _rows(file: BinaryIO, encoding: str, delimiter: str, name: str) -> Iterator[list[str]]:
    """Rows as lists of cells. Raises InputRefused where a quotation mark is left open."""
    file.seek(0)
    text = io.TextIOWrapper(file, encoding, newline="")
    try:
        yield from _checked(text, delimiter, name)
    finally:
        # The file is ours to read again; the wrapper would close it.
        text.detach()


def _checked(text: Iterable[str], delimiter: str, name: str) -> Iterator[list[str]]:
    reader = csv.reader(text, delimiter=delimiter)
    line, width, row = 0, _LEAST_CELLS, 0
    try:
        for cells in reader:
            row += 1
            line += 1
            if reader.line_num != line:
                _check_lines(cells, width, delimiter, name, row)
                line = reader.line_num
            if len(cells) > width:
                width = len(cells)
            yield cells
    except csv.Error:
        raise refuse(
            name,
            "a cell has more than 100,000 characters. Is a quotation mark left open?",
            f"row {row + 1}",
        ) from None


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
