"""Sheets of XLS and ODS workbooks, read in a process with a limit to its memory and time."""

import json
import subprocess
import sys
import threading
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, BinaryIO

from estimator.catalogue.files.cell_text import DayText, uncached, value_text
from estimator.catalogue.files.limits import ListLimits
from estimator.catalogue.files.ods_survey import survey_ods
from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.files.survey import SheetSurvey, Unreadable
from estimator.catalogue.files.table import Merged, SheetLeftOut, Table, fill_down
from estimator.catalogue.files.xlsx import damaged, guard_sizes
from estimator.catalogue.files.zip_guard import ZIP_DAMAGE, guard_zip

_CHILD = Path(__file__).with_name("calamine_child.py")
_SAVE = "Open it in a spreadsheet program and save it as XLSX"
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
_BOOKS = ("Workbook".encode("utf-16-le"), "Book".encode("utf-16-le"))

Found = tuple[list[Table], list[SheetLeftOut]]


def read_xls(file: BinaryIO, name: str, limits: ListLimits) -> Found:
    """The sheets of an XLS workbook. Raises InputRefused."""
    file.seek(0)
    data = file.read()
    if _ENCRYPTED in data:
        raise refuse(name, "the workbook is protected by a password. Save it without one")
    if not any(book in data for book in _BOOKS):
        raise refuse(name, "the file is an old document that is no workbook. Save it as CSV")
    return _read(data, name, limits, {})


def read_ods(file: BinaryIO, packed_bytes: int, name: str, limits: ListLimits) -> Found:
    """The sheets of an ODS workbook. Raises InputRefused."""
    try:
        with zipfile.ZipFile(file) as archive:
            guard_zip(archive, packed_bytes, name, limits, ("content.xml",))
            with archive.open("content.xml") as part:
                surveyed = survey_ods(part, limits.cells, limits.rows)
    except (Unreadable, *ZIP_DAMAGE) as e:
        raise damaged(name, e) from None
    guard_sizes(list(surveyed.items()), name, limits)
    file.seek(0)
    return _read(file.read(), name, limits, surveyed)


def _read(data: bytes, name: str, limits: ListLimits, surveyed: Mapping[str, SheetSurvey]) -> Found:
    tables: list[Table] = []
    left_out: list[SheetLeftOut] = []
    sheet = ""
    rows: list[list[str]] = []
    merged: Merged = ()
    texts: dict[object, str] = {}
    left = limits.cells
    for line in _lines(data, name, limits):
        if isinstance(line, list):
            rows.append(_row(line, texts))
            left -= len(rows[-1])
            if left < 0 or len(rows) > limits.rows + 1000:
                raise refuse(name, f"more than {limits.rows:,} rows or {limits.cells:,} cells")
            continue
        if sheet:
            tables.append(_table(sheet, rows, merged, surveyed, limits))
        sheet, rows = "", []
        if line.get("hidden"):
            left_out.append(SheetLeftOut(line["sheet"], "it is hidden"))
        elif "sheet" in line:
            sheet = line["sheet"]
            merged = tuple([(a + 1, b + 1, c + 1, d + 1) for a, b, c, d in line["merged"]])
    return tables, left_out


def _table(
    sheet: str,
    rows: list[list[str]],
    merged: Merged,
    surveyed: Mapping[str, SheetSurvey],
    limits: ListLimits,
) -> Table:
    survey = surveyed.get(sheet)
    if survey is not None:
        merged = survey.ranges
        for row, position in survey.uncached:
            if row <= len(rows):
                cells = rows[row - 1]
                cells += [""] * (position + 1 - len(cells))
                cells[position] = uncached()
    fill_down(rows, merged, limits.cells)
    return Table(sheet, "", lambda: iter(rows), merged)


def _row(values: list[Any], texts: dict[object, str]) -> list[str]:
    row: list[str] = []
    last = 0
    for value in values:
        if isinstance(value, str) and value[:1] != "#":
            text = value
        elif isinstance(value, dict):
            day = value["day"]
            text = texts.setdefault(("day", day), DayText(day))
        else:
            text = value_text(value)
            text = texts.setdefault((text, type(text)), text)
        row.append(text)
        if text:
            last = len(row)
    del row[last:]
    return row


def _lines(data: bytes, name: str, limits: ListLimits) -> Iterator[Any]:
    """What the child writes, checked to be complete."""
    command = [
        sys.executable, "-I", str(_CHILD),
        str(limits.memory_bytes), str(limits.seconds), str(max(4 * limits.columns, 256)),
    ]  # fmt: skip
    complete = False
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as child:
        # The limit of the child is of its own time; this one also ends a child that waits.
        watch = threading.Timer(2 * limits.seconds, child.kill)
        watch.start()
        try:
            _give(child, data)
            for line in child.stdout or ():
                found = json.loads(line)
                if isinstance(found, dict) and "sheet" not in found:
                    _refuse_fault(found, name, limits)
                    complete = True
                yield found
        except json.JSONDecodeError:
            complete = False
        finally:
            watch.cancel()
            child.kill()
    if not complete:
        raise refuse(
            name,
            f"the workbook cannot be read within {limits.memory_bytes // 2**20:,} MiB of memory "
            f"and {limits.seconds} seconds. {_SAVE}, or split it",
        )


def _give(child: "subprocess.Popen[bytes]", data: bytes) -> None:
    if child.stdin is None:
        return
    try:
        child.stdin.write(data)
        child.stdin.close()
    except BrokenPipeError:
        # The child ended before it read all; what it did not write tells.
        return


def _refuse_fault(found: Mapping[str, Any], name: str, limits: ListLimits) -> None:
    if found.get("fault") == "protected":
        raise refuse(name, "the workbook is protected by a password. Save it without one")
    if "columns" in found:
        raise refuse(
            name,
            f"{found['columns']:,} columns; at most {limits.columns} can be read. Remove what "
            "stands far to the right of the list",
            f"sheet {found['of']}",
        )
    if "fault" in found:
        raise refuse(name, f"the workbook is damaged ({found.get('why', '')}). {_SAVE}")
