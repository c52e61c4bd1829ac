"""Sheets of XLSX workbooks."""

import warnings
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, BinaryIO

import openpyxl

from estimator.catalogue.files.cell_text import formatted, uncached, value_text
from estimator.catalogue.files.limits import ListLimits
from estimator.catalogue.files.number_format import PLAIN, read_number_format
from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.files.survey import SheetSurvey, Unreadable
from estimator.catalogue.files.table import SheetLeftOut, Table, fill_down
from estimator.catalogue.files.xlsx_parts import SheetPart, xlsx_parts
from estimator.catalogue.files.xlsx_survey import count_texts, survey_xlsx
from estimator.catalogue.files.zip_guard import ZIP_DAMAGE, guard_zip

_BIG_PARTS = ("xl/worksheets/", "xl/sharedStrings")
_MOST_KEPT = 100_000
# A text of a row that has no cell there.
_BLANK = ""


def read_xlsx(
    file: BinaryIO, packed_bytes: int, name: str, limits: ListLimits
) -> tuple[list[Table], list[SheetLeftOut]]:
    """The sheets that can be seen, each with its rows, and those that are left out.

    Raises InputRefused beyond the limits, and for a workbook that cannot be read whole.
    """
    surveyed: list[tuple[SheetPart, SheetSurvey]] = []
    left_out: list[SheetLeftOut] = []
    try:
        with zipfile.ZipFile(file) as archive:
            guard_zip(archive, packed_bytes, name, limits, _BIG_PARTS)
            parts = xlsx_parts(archive)
            if len(parts.sheets) > limits.sheets:
                raise refuse(
                    name, f"the workbook has {len(parts.sheets)} sheets; at most {limits.sheets}"
                )
            if parts.texts:
                with archive.open(parts.texts) as part:
                    count_texts(part, limits.cells)
            for sheet in parts.sheets:
                if sheet.hidden:
                    left_out.append(SheetLeftOut(sheet.name, "it is hidden"))
                else:
                    surveyed.append((sheet, _survey(archive, sheet, name, limits)))
        guard_sizes([(sheet.name, survey) for sheet, survey in surveyed], name, limits)
        file.seek(0)
        return list(_tables(file, surveyed, limits)), left_out
    except (Unreadable, *ZIP_DAMAGE) as e:
        raise damaged(name, e) from None


def damaged(name: str, error: Exception) -> Exception:
    """The refusal of a workbook that cannot be read whole."""
    why = str(error) if isinstance(error, Unreadable) else "it is damaged"
    return refuse(
        name,
        f"the workbook cannot be read: {why}. Open it in a spreadsheet program and save it anew",
    )


def guard_sizes(sheets: Sequence[tuple[str, SheetSurvey]], name: str, limits: ListLimits) -> None:
    """Refuse sheets whose cells with a value reach too far, or are too many. Raises InputRefused.

    Columns are judged when the head row is known; here only those that no list has.
    """
    cells = sum(survey.cells for _, survey in sheets)
    if cells > limits.cells:
        raise refuse(
            name,
            f"the workbook has {cells:,} cells; at most {limits.cells:,} can be read. Split it",
        )
    for sheet, survey in sheets:
        where = f"sheet {sheet}"
        if survey.columns > max(4 * limits.columns, 256):
            raise refuse(
                name,
                f"{survey.columns:,} columns; at most {limits.columns} can be read. Remove what "
                "stands far to the right of the list",
                where,
            )
        if survey.rows > limits.rows + 1000:
            raise refuse(
                name, f"more than {limits.rows:,} rows; split the list", where
            )  # fmt: skip


def _survey(
    archive: zipfile.ZipFile, sheet: SheetPart, name: str, limits: ListLimits
) -> SheetSurvey:
    try:
        with archive.open(sheet.part) as part:
            return survey_xlsx(part, limits.cells)
    except Unreadable as error:
        raise Unreadable(f"in sheet {sheet.name}, {error}") from None


def _tables(
    file: BinaryIO, surveyed: Sequence[tuple[SheetPart, SheetSurvey]], limits: ListLimits
) -> Iterator[Table]:
    with warnings.catch_warnings():
        # What the library tells of styles and extensions does not concern the cells.
        warnings.simplefilter("ignore")
        try:
            book = openpyxl.load_workbook(file, read_only=True, data_only=True, keep_links=False)
            for sheet, survey in surveyed:
                rows = _rows(book[sheet.name], survey)
                fill_down(rows, survey.ranges, limits.cells)
                yield Table(sheet.name, "", _again(rows), survey.ranges)
        except (zipfile.BadZipFile, EOFError, OSError):
            raise
        except Exception as error:
            # The library has no error of its own for what it cannot make sense of.
            raise Unreadable(f"it is damaged ({type(error).__name__})") from None


def _again(rows: list[list[str]]) -> Any:
    return lambda: iter(rows)


def _rows(sheet: Any, survey: SheetSurvey) -> list[list[str]]:
    sheet.reset_dimensions()
    texts: dict[object, str] = {}
    rows: list[list[str]] = []
    for cells in sheet.iter_rows():
        if len(rows) >= survey.rows:
            break
        rows.append(_row(cells, texts))
    for row, position in survey.uncached:
        if row <= len(rows):
            cells = rows[row - 1]
            cells += [_BLANK] * (position + 1 - len(cells))
            cells[position] = uncached()
    return rows


def _row(cells: Iterable[Any], texts: dict[object, str]) -> list[str]:
    row: list[str] = []
    last = 0
    for cell in cells:
        value = cell.value
        if value is None:
            row.append(_BLANK)
            continue
        if isinstance(value, str) and value[:1] != "#":
            row.append(value)
        else:
            row.append(_known(cell, value, texts))
        last = len(row)
    del row[last:]
    return row


def _known(cell: Any, value: Any, texts: dict[object, str]) -> str:
    """The text of a value that is no plain text; the same text for the same value and format."""
    code = cell.number_format or "General"
    key = (value, type(value), code)
    text = texts.get(key)
    if text is None:
        mark = read_number_format(code) if type(value) in (int, float) else PLAIN
        text = value_text(value) if mark is PLAIN else formatted(value, mark)
        if len(texts) < _MOST_KEPT:
            texts[key] = text
    return text
