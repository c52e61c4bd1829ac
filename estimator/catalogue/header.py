"""Finding the head row of a price list, and with it the delimiter and the columns."""

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Literal, get_args

from estimator.catalogue.decode import refuse

Column = Literal[
    "supplier",
    "item number",
    "description",
    "kind",
    "attributes",
    "price",
    "per",
    "pack",
    "pieces per pack",
    "currency",
]
REQUIRED: tuple[Column, ...] = ("item number", "kind", "attributes", "price", "per")
# A list that does not name our kinds has to describe its goods in words.
INSTEAD: tuple[Column, ...] = ("kind", "attributes")
SPELLINGS: Mapping[Column, tuple[str, ...]] = {
    "supplier": ("supplier", "vendor"),
    "item number": (
        "item number", "item no", "item", "sku", "part number", "part no",
        "catalogue number", "catalog number", "catalogue no", "catalog no", "cat no",
    ),
    "description": ("description", "desc", "item description"),
    "kind": ("kind", "part kind"),
    "attributes": ("attributes",),
    "price": ("price", "net price", "unit price"),
    "per": ("per", "price per", "price unit", "unit", "uom", "u m", "unit of measure"),
    "pack": ("pack", "pack size", "units per pack", "std pack", "standard pack", "sold in"),
    "pieces per pack": ("pieces per pack", "pieces"),
    "currency": ("currency", "currency code"),
}  # fmt: skip
MAX_COLUMNS = 60
SEARCHED_ROWS = 20
DELIMITERS = (",", ";", "\t")

_COLUMN_OF: Mapping[str, Column] = {
    spelling: column for column, spellings in SPELLINGS.items() for spelling in spellings
}


@dataclass(frozen=True, slots=True)
class Header:
    """The head row. row: its number, from 1. place: position of each column found."""

    row: int
    delimiter: str
    cells: tuple[str, ...]
    place: Mapping[Column, int]

    @property
    def described(self) -> bool:
        """Whether what is sold stands in the description alone."""
        return not any(column in self.place for column in INSTEAD)


def rows_of(text: str, delimiter: str) -> Iterator[list[str]]:
    """Rows of delimited text as lists of cells. Blank lines come as empty lists."""
    return csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)


def find_header(text: str, name: str) -> Header:
    """The first row, of the first SEARCHED_ROWS, that has every required column.

    A description may stand in place of kind and attributes.

    Each delimiter is tried; the one that finds the head row is the file's delimiter.
    Raises InputRefused when there is no such row (saying what the best row lacks), when a
    column stands twice, or when the row has more than MAX_COLUMNS cells.
    """
    best: Header | None = None
    for delimiter in DELIMITERS:
        for header in _candidates(text, delimiter):
            if best is None or _rank(header) > _rank(best):
                best = header
    if best is None or _missing(best):
        raise refuse(name, _no_header(best))
    where = f"row {best.row}"
    if len(best.cells) > MAX_COLUMNS:
        raise refuse(name, f"{len(best.cells)} columns; at most {MAX_COLUMNS} can be read", where)
    twice = _standing_twice(best.cells)
    if twice:
        raise refuse(
            name,
            f"column {twice} stands twice. Keep the one that counts and rename the other",
            where,
        )
    return best


def _candidates(text: str, delimiter: str) -> Iterator[Header]:
    rows = islice(rows_of(text, delimiter), SEARCHED_ROWS)
    number = 0
    while True:
        number += 1
        try:
            cells = next(rows, None)
        except csv.Error:
            # With a wrong delimiter a stray quotation mark can swallow the file.
            return
        if cells is None:
            return
        place: dict[Column, int] = {}
        for position, cell in enumerate(cells):
            column = _column(cell)
            if column is not None:
                place.setdefault(column, position)
        if place:
            yield Header(number, delimiter, tuple(cells), place)


def _column(cell: str) -> Column | None:
    text = cell.strip()
    if len(text) > 40:
        return None
    for sign in "_-./#":
        text = text.replace(sign, " ")
    return _COLUMN_OF.get(" ".join(text.casefold().split()))


def _rank(header: Header) -> tuple[int, int]:
    required = sum(column in header.place for column in REQUIRED)
    return (required, -header.row)


def _missing(header: Header) -> list[Column]:
    instead = INSTEAD if header.described and "description" in header.place else ()
    return [column for column in REQUIRED if column not in header.place and column not in instead]


def _standing_twice(cells: Sequence[str]) -> Column | None:
    columns = [_column(cell) for cell in cells]
    return next((c for c in get_args(Column) if columns.count(c) > 1), None)


def _no_header(best: Header | None) -> str:
    wanted = ", ".join(REQUIRED)
    text = (
        f"no head row in the first {SEARCHED_ROWS} rows. "
        f"One row must name the columns {wanted} (comma, semicolon or tab between them); "
        "description may stand in place of kind and attributes"
    )
    if best is not None and len(best.place) > 1:
        text += f". Row {best.row} comes nearest; it lacks {', '.join(_missing(best))}"
    return text
