"""The columns of a price list that was sent: what each is taken for, beside its first rows."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import get_args

from estimator.catalogue.columns.mapping import MappedColumn, ToldColumn, ToldMapping, letter_of
from estimator.catalogue.columns.mapping_file import read_mapping
from estimator.catalogue.files.limits import DEFAULT_LIMITS
from estimator.catalogue.files.open_list import OpenedList, open_list
from estimator.catalogue.header import Column
from estimator.catalogue.list_sheets import KnownOfColumns, ListSheet, mapped_tables
from estimator.catalogue.read_price_list import ColumnsKnown
from estimator.finding import InputRefused
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.web.pages.price_lists_asked import FOR_ALL, AskedColumns

FIRST_ROWS = 3
_ROWS_LOOKED_AT = 60
_LONGEST_CELL = 60
# Those that most lists have; the others stand in a group of their own.
USUAL: tuple[Column, ...] = (
    "item number", "description", "price", "per", "pack", "supplier", "kind", "attributes",
    "currency", "list price", "multiplier", "discount",
)  # fmt: skip
FURTHER: tuple[Column, ...] = tuple(each for each in get_args(Column) if each not in USUAL)
_COLUMN, _HEAD, _ALL = "column.", "head.", "all."


@dataclass(frozen=True, slots=True)
class ColumnView:
    """A column of the file. field: name of its select. cells: of the first rows. doubtful:
    guessed from its cells, so that a person has to say so.
    """

    field: str
    letter: str
    head: str
    chosen: str
    doubtful: bool
    because: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetView:
    """A table of the file. rows: numbers of the first rows, from 1."""

    field: str
    name: str
    head_row: str
    rows: tuple[int, ...]
    columns: tuple[ColumnView, ...]


def look_at(data: bytes, name: str, known: ColumnsKnown) -> list[ListSheet]:
    """The tables of a file with what their columns seem to hold. Raises InputRefused.

    Where two columns seem to hold the same, nothing is taken for sure, so that a person can say.
    """
    opened = open_list(data, name, DEFAULT_LIMITS)
    try:
        return _mapped(opened, name, known)
    except InputRefused:
        nothing = tuple(ToldColumn("", letter_of(at), "", None) for at in range(_WIDEST))
        told = ToldMapping(nothing, known.told.head_rows)
        return _mapped(opened, name, ColumnsKnown(told, {}, known.supplier))


_WIDEST = DEFAULT_LIMITS.columns


def _mapped(opened: OpenedList, name: str, known: ColumnsKnown) -> list[ListSheet]:
    kinds = frozenset(load_part_kinds())
    of_columns = KnownOfColumns(kinds, known.told, known.remembered, known.supplier)
    return mapped_tables(opened, name, of_columns, DEFAULT_LIMITS)


def look_as_asked(
    data: bytes, name: str, known: ColumnsKnown, asked: AskedColumns
) -> tuple[list[ListSheet], AskedColumns]:
    """As look_at, with the head rows that were chosen; and what was asked, with those of them
    only that are others than would be found. Raises InputRefused.
    """
    sheets = look_at(data, name, known)
    heads = {
        at: row
        for at, row in asked.heads.items()
        if at < len(sheets) and row != str(sheets[at].mapping.head_row)
    }
    asked = replace(asked, heads=heads)
    if not heads:
        return sheets, asked
    lines = [
        {"sheet": sheets[at].sheet, "column": "head row", "value": row} for at, row in heads.items()
    ]
    told = read_mapping(_text(lines), "head row")
    return look_at(data, name, ColumnsKnown(told, {}, known.supplier)), asked


def told_columns(sheets: Sequence[ListSheet], asked: AskedColumns) -> bytes | None:
    """All that was chosen, as a mapping; None where it is what the list is read as anyway.

    Raises InputRefused for a value that cannot be used.
    """
    for_all = values_for_all(sheets, asked)
    changed = for_all != values_for_all(sheets, AskedColumns()) or any(
        _chosen(sheet, at, each, asked) != (each.column or "")
        for at, sheet in enumerate(sheets)
        for each in sheet.mapping.columns
    )
    if not changed and not asked.heads:
        return None
    lines: list[dict[str, str]] = []
    for at, sheet in enumerate(sheets):
        row = str(sheet.mapping.head_row)
        lines.append({"sheet": sheet.sheet, "column": "head row", "value": row})
        lines += [
            {
                "sheet": sheet.sheet,
                "letter": each.letter,
                "head": " ".join(each.head.split()),
                "column": _chosen(sheet, at, each, asked),
            }
            for each in sheet.mapping.columns
        ]
    lines += [{"column": name, "value": value} for name, value in for_all.items() if value]
    told = _text(lines)
    read_mapping(told, "columns")
    return told


def values_for_all(sheets: Sequence[ListSheet], asked: AskedColumns) -> dict[str, str]:
    """What holds for every row, by field: as chosen, else as it was told of an earlier list."""
    known: dict[str, str] = {}
    for sheet in sheets:
        known |= {str(name): value for name, value in sheet.mapping.always}
        known |= dict(sheet.told.settings)
    return {name: asked.for_all.get(name, known.get(name, "")) for name, _, _ in FOR_ALL}


def show_sheets(sheets: Sequence[ListSheet], asked: AskedColumns) -> list[SheetView]:
    """The tables for the page."""
    return [_sheet_view(at, sheet, asked) for at, sheet in enumerate(sheets)]


def corrections(sheets: Sequence[ListSheet], asked: AskedColumns) -> Iterator[tuple[str, str]]:
    """What the page's address has to carry, so that reload and back lose nothing."""
    yield "supplier", asked.supplier
    yield "name", asked.name
    for at, row in asked.heads.items():
        yield f"{_HEAD}{at}", row
    for at, sheet in enumerate(sheets):
        for each in sheet.mapping.columns:
            chosen = asked.columns.get((at, each.position))
            if chosen is not None and chosen != _default(sheet, each):
                yield f"{_COLUMN}{at}.{each.position}", chosen
    before = values_for_all(sheets, AskedColumns())
    for name, value in asked.for_all.items():
        if value != before[name]:
            yield f"{_ALL}{name}", value


def supplier_of_sheets(sheets: Sequence[ListSheet], file_name: str) -> str:
    """Whose list it seems to be: as its rows say, else as the file is called."""
    for sheet in sheets:
        for each in sheet.mapping.columns:
            if each.column == "supplier" and each.examples:
                cells = [_cell(row, each.position) for _, row in _first_rows(sheet)]
                return next((cell for cell in cells if cell), "")
    stem, dot, _ = file_name.removesuffix(".gz").rpartition(".")
    return " ".join((stem if dot and stem else file_name).replace("_", " ").split())


def _sheet_view(at: int, sheet: ListSheet, asked: AskedColumns) -> SheetView:
    rows = list(_first_rows(sheet))
    columns = tuple(
        ColumnView(
            field=f"{_COLUMN}{at}.{each.position}",
            letter=each.letter,
            head=" ".join(each.head.split()),
            chosen=_chosen(sheet, at, each, asked),
            doubtful=each.column is None and bool(each.proposed),
            because="" if each.grounds == "head" else each.because,
            cells=tuple(_cell(row, each.position) for _, row in rows),
        )
        for each in sheet.mapping.columns
    )
    head_row = asked.heads.get(at) or str(sheet.mapping.head_row)
    numbers = tuple(number for number, _ in rows)
    return SheetView(f"{_HEAD}{at}", sheet.sheet, head_row, numbers, columns)


def _chosen(sheet: ListSheet, at: int, each: MappedColumn, asked: AskedColumns) -> str:
    return asked.columns.get((at, each.position), _default(sheet, each))


def _default(sheet: ListSheet, each: MappedColumn) -> str:
    told = {one.letter for one in sheet.told.columns if one.column is None and not one.head}
    if each.letter in told:  # nothing was taken for sure: what the head says
        return sheet.head.named.get(each.position, "")
    return each.column or each.proposed or ""


def _first_rows(sheet: ListSheet) -> Iterator[tuple[int, list[str]]]:
    below = sheet.head.row
    rows = enumerate(islice(sheet.table.rows(), below, below + _ROWS_LOOKED_AT), start=below + 1)
    return islice(((number, row) for number, row in rows if sum(map(bool, row)) > 1), FIRST_ROWS)


def _cell(row: Sequence[str], at: int) -> str:
    text = " ".join(row[at].split()) if at < len(row) else ""
    return text if len(text) <= _LONGEST_CELL else text[: _LONGEST_CELL - 3] + "..."


def _text(lines: Sequence[Mapping[str, str]]) -> bytes:
    return json.dumps(lines, ensure_ascii=False).encode()
