"""The sheets of an opened list that hold items, with what their columns hold."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import islice

from estimator.catalogue.columns.content import MOST_SAMPLED
from estimator.catalogue.columns.head_row import SEARCHED_ROWS, ColumnOf, Head, find_head, head_at
from estimator.catalogue.columns.header_words import column_of_head, normal_head
from estimator.catalogue.columns.mapping import (
    NOTHING_TOLD,
    ColumnMapping,
    Remembered,
    ToldMapping,
    head_key,
)
from estimator.catalogue.columns.refuse_columns import refuse_missing, refuse_twice
from estimator.catalogue.columns.remembered import recall
from estimator.catalogue.columns.settle_columns import TwiceNamed, missing_columns, settle_columns
from estimator.catalogue.files.limits import ListLimits
from estimator.catalogue.files.open_list import OpenedList
from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.files.table import SheetLeftOut, Table
from estimator.catalogue.header import Column

_NO_HEAD = Head(0, (), (), {})
# A sheet with as many known columns is a list, not a page of notes.
_LEAST_KNOWN = 3
# As many as columns are told by, and those above them.
_SAMPLED_ROWS = SEARCHED_ROWS + 5 * MOST_SAMPLED


@dataclass(frozen=True, slots=True)
class KnownOfColumns:
    """What is known of the columns beside the file.

    kinds: names of the kinds of part. told: by a person, of this list. remembered: of earlier
    lists; used for those of ``supplier``, where nothing was told.
    """

    kinds: frozenset[str]
    told: ToldMapping = NOTHING_TOLD
    remembered: Remembered = field(default_factory=dict)
    supplier: str = ""


@dataclass(frozen=True, slots=True)
class ListSheet:
    """A table with items. told: what a person said of this list, or of an earlier one like it."""

    table: Table
    head: Head
    mapping: ColumnMapping
    told: ToldMapping

    @property
    def sheet(self) -> str:
        """Name of the sheet; blank for a text."""
        return self.table.sheet

    @property
    def where(self) -> str:
        """The head row, for messages."""
        return place(self.table.sheet, self.head.row)


def place(sheet: str, row: int) -> str:
    """Sheet and row, as messages tell them."""
    return f"sheet {sheet}, row {row}" if sheet else f"row {row}"


def mapped_tables(
    opened: OpenedList, name: str, known: KnownOfColumns, limits: ListLimits
) -> list[ListSheet]:
    """Every table with what its columns seem to hold, needed ones missing or not.

    Of the ways in which a text can be split, the one whose head says most. Raises InputRefused
    for too many columns, and for one that stands twice.
    """
    best: list[ListSheet] = []
    for way in opened.ways:
        tables = [table for table in way if table.sheet not in known.told.left_out]
        if best and _cannot_be_better(tables, best):
            continue
        found = [_mapped(table, name, known, limits) for table in tables]
        if not best or _merit(found) > _merit(best):
            best = found
    for each in best:
        if not each.head.row and len(each.mapping.columns) > limits.columns:
            raise refuse(
                name,
                f"no row names the columns, and there are more than {limits.columns}, the most "
                "that can be read",
            )
    return best


def sheets_with_items(
    opened: OpenedList, name: str, known: KnownOfColumns, limits: ListLimits
) -> tuple[list[ListSheet], list[SheetLeftOut]]:
    """The tables that have every needed column, and the sheets that are no lists.

    Raises InputRefused where there is none, and for a sheet that is a list but lacks a column.
    """
    good: list[ListSheet] = []
    left_out = list(opened.left_out)
    left_out += [SheetLeftOut(sheet, "a person said so") for sheet in known.told.left_out]
    poor: list[tuple[ListSheet, list[Column]]] = []
    for each in mapped_tables(opened, name, known, limits):
        missing = missing_columns(each.mapping)
        if not missing:
            good.append(each)
        elif _is_list(each):
            where = each.where if each.sheet else ""
            raise refuse_missing(each.mapping, missing, name, where)
        else:
            poor.append((each, missing))
    if not good:
        if not poor:
            raise refuse(name, "the workbook has no sheet with a cell that can be seen")
        nearest, missing = max(poor, key=lambda one: len(one[0].mapping.place))
        raise refuse_missing(nearest.mapping, missing, name)
    for each, _ in poor:
        filled = any(map(any, each.table.rows()))
        why = "it has no head row of a price list" if filled else "it is empty"
        left_out.append(SheetLeftOut(each.sheet, why))
    return good, left_out


def _is_list(each: ListSheet) -> bool:
    proposed = [column for column in each.mapping.columns if column.proposed]
    return bool(each.sheet) and len(each.mapping.place) + len(proposed) >= _LEAST_KNOWN


def _merit(sheets: Sequence[ListSheet]) -> tuple[int, int, int]:
    """Ways of a higher merit are likelier ones: fewest needed columns missing, most known."""
    missing = min((len(missing_columns(each.mapping)) for each in sheets), default=99)
    known = max((len(each.mapping.place) for each in sheets), default=0)
    return (-missing, known, max((len(each.mapping.columns) for each in sheets), default=0))


def _cannot_be_better(tables: Sequence[Table], best: Sequence[ListSheet]) -> bool:
    """Whether tables have too few columns to say more than those that lack nothing.

    So a text is not looked through by each sign that might part its cells.
    """
    missing, known, _ = _merit(best)
    if missing < 0:
        return False
    rows = (cells for table in tables for cells in islice(table.rows(), _SAMPLED_ROWS))
    return max(map(len, rows), default=0) < known


def _mapped(table: Table, name: str, known: KnownOfColumns, limits: ListLimits) -> ListSheet:
    head, told = _head(table, known, name)
    width = len(head.cells) if not table.sheet else len(_trimmed(head.cells))
    if width > limits.columns:
        raise refuse(
            name,
            f"{width:,} columns; at most {limits.columns} can be read",
            place(table.sheet, head.row),
        )
    try:
        # One column more than can be read tells a table without a head that is too wide.
        mapping = settle_columns(table, head, told, known.kinds, limits.columns + 1)
        return ListSheet(table, head, mapping, told)
    except TwiceNamed as error:
        raise refuse_twice(error, name, place(table.sheet, head.row)) from None


def _head(table: Table, known: KnownOfColumns, name: str) -> tuple[Head, ToldMapping]:
    told = known.told
    if told == NOTHING_TOLD and known.remembered:
        for head in _heads(table):
            found = recall(known.remembered, known.supplier, head_key(head.cells))
            if found is not None:
                told = found
    row = told.head_row(table.sheet)
    column_of = _told_heads(told)
    if row == 0:
        return _NO_HEAD, told
    if row is not None:
        at = head_at(table, row, column_of)
        if at is None:
            raise refuse(
                name, "the mapping names a head row that is blank", place(table.sheet, row)
            )
        return at, told
    return find_head(table, column_of) or _NO_HEAD, told


def _heads(table: Table) -> list[Head]:
    head = find_head(table)
    return [] if head is None else [head]


def _told_heads(told: ToldMapping) -> ColumnOf:
    """What heads name, those that a person told first."""
    own = {normal_head(each.head): each.column for each in told.columns if each.head}
    if not own:
        return column_of_head
    return lambda text: own[key] if (key := normal_head(text)) in own else column_of_head(text)


def _trimmed(cells: Sequence[str]) -> Sequence[str]:
    last = max((at for at, cell in enumerate(cells) if cell), default=-1)
    return cells[: last + 1]
