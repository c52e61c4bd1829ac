"""Rows of an opened price list, read one at a time in memory that does not grow with the list."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from estimator.catalogue.files.cell_text import DayText, WrongText
from estimator.catalogue.files.limits import ListLimits
from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.header import Column
from estimator.catalogue.list_rules import ListRules, ListSettings, ListSigns
from estimator.catalogue.list_sheets import ListSheet, place
from estimator.catalogue.price_row import RowRead, RowReader
from estimator.catalogue.records import PassedOver
from estimator.catalogue.repeat_watch import RepeatWatch
from estimator.catalogue.row_kinds import BLANK, RowKinds, odd_number, plain_cells
from estimator.finding import Fault

MOST_NAMED = 10_000
_TEXT = 80
_MAY_BE_DAYS: frozenset[Column] = frozenset({"valid from", "valid until", "description"})
_FLAGS = (
    "decimal_comma", "decimal_point", "day_first", "month_first", "metric", "has_bare_m",
)  # fmt: skip


@dataclass(slots=True)
class RowsPassedOver:
    """Rows that are no items, counted as they are met; named: the first of them."""

    count: int = 0
    blank: int = 0
    named: list[PassedOver] = field(default_factory=list)

    def add(self, sheet: str, row: int, why: str, cells: Sequence[str]) -> None:
        """Take a row into account."""
        if why == BLANK:
            self.blank += 1
            return
        self.count += 1
        if len(self.named) < MOST_NAMED:
            text = " | ".join(cell.strip() for cell in cells if cell.strip())
            self.named.append(PassedOver(sheet, row, why, text[:_TEXT]))


def place_of(sheet: ListSheet) -> dict[Column, int]:
    """The position of each column, those that hold the same for all rows after the last."""
    found = sheet.mapping.place
    width = len(sheet.mapping.columns)
    for at, (column, _) in enumerate(sheet.mapping.always):
        found[column] = width + at
    return found


def survey_rows(
    sheets: Sequence[ListSheet],
    supplier: str,
    settings: ListSettings,
    name: str,
    limits: ListLimits,
) -> tuple[ListRules, Mapping[int, int]]:
    """How the list is written, and which item numbers stand in it more than once.

    Only all rows together tell; this is the first of two passes over them. Raises InputRefused
    for more rows than the limit.
    """
    watch = RepeatWatch()
    rows = 0
    together: ListSigns | None = None
    for sheet in sheets:
        where = place_of(sheet)
        signs = ListSigns(where)
        number, vendor = where["item number"], where.get("supplier")
        row = sheet.head.row
        for row, cells in _below_head(sheet):
            signs.see(cells)
            if number < len(cells):
                given = cells[vendor].strip() if vendor is not None and vendor < len(cells) else ""
                watch.add((given or supplier, cells[number].strip()))
            if rows + row - sheet.head.row > limits.rows and any(cells):
                raise refuse(
                    name, f"more than {limits.rows:,} rows; split the list", place(sheet.sheet, row)
                )
        rows += row - sheet.head.row
        if together is None:
            together = signs
        for flag in _FLAGS:
            setattr(together, flag, getattr(together, flag) or getattr(signs, flag))
    if together is None:
        raise ValueError("no sheets")
    return together.rules(settings, sheets[0].table.delimiter), watch.repeated()


def _below_head(sheet: ListSheet) -> Iterator[tuple[int, list[str]]]:
    """Rows below the head with their numbers, what always holds added at their end."""
    rows = enumerate(sheet.table.rows(), start=1)
    head = sheet.head.row
    for _ in range(head):
        next(rows, None)
    always = [value for _, value in sheet.mapping.always]
    if not always:
        yield from rows
        return
    width = len(sheet.mapping.columns)
    for row, cells in rows:
        if any(cells):
            yield row, [*cells, *[""] * (width - len(cells)), *always]
        else:
            yield row, cells


def rows_of_sheet(sheet: ListSheet, reader: RowReader, passed: RowsPassedOver) -> Iterator[RowRead]:
    """The rows of one sheet, each read, or counted as passed over."""
    _pass_head(sheet, passed)
    kinds = RowKinds(reader.place, sheet.head)
    # What always holds stands at the end of each row, which says nothing of what kind it is.
    width = len(sheet.mapping.columns) if sheet.mapping.always else None
    plain, read, in_sheet = kinds.is_plain, reader.read, bool(sheet.sheet)
    for row, cells in _below_head(sheet):
        if not plain(cells):
            why = kinds.why_passed_over(cells if width is None else cells[:width])
            if why:
                passed.add(sheet.sheet, row, why, cells[:width])
                continue
            yield _odd(row, cells, reader, sheet.sheet)
        elif in_sheet:
            yield _in_sheet(read(row, cells), cells, reader, sheet.sheet)
        else:
            yield read(row, cells)


def _pass_head(sheet: ListSheet, passed: RowsPassedOver) -> None:
    first = sheet.head.row - len(sheet.head.rows) + 1
    for row, cells in enumerate(sheet.table.rows(), start=1):
        if row > sheet.head.row:
            return
        filled = any(cell.strip() for cell in cells)
        why = ("the head" if row >= first else "above the head") if filled else BLANK
        passed.add(sheet.sheet, row, why, cells)


def _odd(row: int, cells: list[str], reader: RowReader, sheet: str) -> RowRead:
    """A row that has something odd about it, with what a spreadsheet did to its item number."""
    cells = plain_cells(cells) if not sheet else cells
    read = _in_sheet(reader.read(row, cells), cells, reader, sheet)
    at = reader.place["item number"]
    wrong = odd_number(cells[at]) if at < len(cells) and type(cells[at]) is str else ""
    if not wrong:
        return read
    return _with_faults(read, {"item number": wrong})


def _in_sheet(read: RowRead, cells: Sequence[str], reader: RowReader, sheet: str) -> RowRead:
    """A row of a workbook: its place with the sheet, and faults of cells without a value."""
    if not sheet:
        return read
    faults = tuple([Fault(f"sheet {sheet}, {fault.where}", fault.message) for fault in read.faults])
    doubts = tuple([Fault(f"sheet {sheet}, {fault.where}", fault.message) for fault in read.doubts])
    item = None if read.item is None else replace(read.item, sheet=sheet)
    unread = None if read.unread is None else replace(read.unread, sheet=sheet)
    read = replace(read, sheet=sheet, faults=faults, doubts=doubts, item=item, unread=unread)
    wrong: dict[Column, str] = {}
    for column, at in reader.place.items():
        if at < len(cells) and type(cells[at]) is not str:
            why = _why_wrong(column, cells[at])
            if why:
                wrong[column] = why
    return _with_faults(read, wrong) if wrong else read


def _why_wrong(column: Column, cell: str) -> str:
    if isinstance(cell, WrongText):
        return cell.why
    if isinstance(cell, DayText) and column not in _MAY_BE_DAYS:
        return (
            f"is the date {cell}, which a spreadsheet makes of texts such as 1/2 or 3-4. Format "
            "the column as text and write the cell again"
        )
    return ""


def _with_faults(read: RowRead, wrong: Mapping[Column, str]) -> RowRead:
    """A row that is no item for these faults; they go before what was said of the same cells."""
    row = place(read.sheet, read.row)
    told = {f"{row}, column {column}": why for column, why in wrong.items()}
    others = [fault for fault in read.faults if fault.where not in told]
    doubts = tuple([doubt for doubt in read.doubts if doubt.where not in told])
    faults = [*(Fault(where, why) for where, why in told.items()), *others]
    return replace(read, item=None, unread=None, goods=None, faults=tuple(faults), doubts=doubts)
