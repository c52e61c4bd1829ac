"""Headless LibreOffice as an independent calculator for workbooks."""

import io
import shutil
import subprocess
import zipfile
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

import pytest
from lxml import etree
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"

needs_office = pytest.mark.skipif(
    shutil.which("soffice") is None,
    reason="LibreOffice (soffice) is not installed, so nothing can recalculate the workbook",
)


def without_cached_values(content: bytes) -> bytes:
    """The workbook with the value of every formula cell taken out of the file."""
    result = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(content)) as old,
        zipfile.ZipFile(result, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            part = old.read(name)
            if name.startswith("xl/worksheets/"):
                root = etree.fromstring(part)
                for cell in root.iter(f"{MAIN}c"):
                    if cell.find(f"{MAIN}f") is not None:
                        cell.attrib.pop("t", None)
                        for value in cell.findall(f"{MAIN}v"):
                            cell.remove(value)
                part = etree.tostring(root)
            new.writestr(name, part)
    return result.getvalue()


def recalculated(content: bytes, folder: Path) -> Workbook:
    """The workbook with all its formulas computed by LibreOffice, values only."""
    return all_recalculated({"only": content}, folder)["only"]


def all_recalculated(contents: Mapping[str, bytes], folder: Path) -> dict[str, Workbook]:
    """As ``recalculated``, for several workbooks in one start of the program."""
    files = {name: folder / f"asked-{number}.xlsx" for number, name in enumerate(contents)}
    for name, content in contents.items():
        files[name].write_bytes(without_cached_values(content))
    answers = folder / "answered"
    subprocess.run(
        [
            "soffice",
            f"-env:UserInstallation=file://{folder}/profile",
            "--headless",
            "--convert-to",
            "xlsx:Calc MS Excel 2007 XML",
            "--outdir",
            str(answers),
            *(str(file) for file in files.values()),
        ],
        check=True,
        capture_output=True,
        timeout=180,
    )
    return {
        name: load_workbook(answers / file.name, data_only=True) for name, file in files.items()
    }


def formula_cells(content: bytes) -> list[tuple[str, str]]:
    """Sheet and cell of every formula."""
    return [
        (sheet.title, cell.coordinate)
        for sheet in load_workbook(io.BytesIO(content)).worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    ]


def with_input(content: bytes, cells: dict[tuple[str, str], Decimal | None]) -> bytes:
    """The workbook after somebody typed into some of its cells."""
    workbook = load_workbook(io.BytesIO(content))
    for (title, name), value in cells.items():
        sheet = workbook[title]
        assert isinstance(sheet, Worksheet)
        sheet[name].value = value
    result = io.BytesIO()
    workbook.save(result)
    return result.getvalue()


def named_cell(content: bytes, name: str) -> tuple[str, str]:
    """Sheet and cell that a defined name stands for."""
    text = load_workbook(io.BytesIO(content)).defined_names[name].attr_text
    title, cell = text.rsplit("!", 1)
    return title.strip("'"), cell.replace("$", "")


def same_value(carried: object, computed: object) -> bool:
    """Whether a computed cell shows what the file said it would, numbers to a millionth."""
    if isinstance(carried, str) or carried is None:
        return (computed or "") == (carried or "")
    if not isinstance(computed, int | float):
        return False
    return abs(Decimal(str(carried)) - Decimal(str(computed))) < Decimal("0.000001")
