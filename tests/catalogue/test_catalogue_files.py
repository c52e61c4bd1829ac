"""What a file is tells its content, not its name; what is no price list is told for what it is."""

import gzip
import io
import zipfile
from collections.abc import Mapping

import openpyxl
import pytest
from bad_files import HEAD, ROW, changed, workbook
from quirky_lists import FOLDER

from estimator.catalogue.files.limits import DEFAULT_LIMITS, ListLimits
from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.records import PriceList
from estimator.finding import InputRefused
from estimator.takeoff.part_kinds import load_part_kinds

KINDS = load_part_kinds()
XLS = (FOLDER / "stone_bridge.xls").read_bytes()
ODS = (FOLDER / "orchard_street.ods").read_bytes()
SHEET = "xl/worksheets/sheet1.xml"


def read(data: bytes, name: str = "list", limits: ListLimits = DEFAULT_LIMITS) -> PriceList:
    return read_price_list(data, name, KINDS, limits=limits)


def refusal(data: bytes, name: str = "list", limits: ListLimits = DEFAULT_LIMITS) -> str:
    with pytest.raises(InputRefused) as caught:
        read(data, name, limits)
    (fault,) = caught.value.faults
    return f"{fault.where}: {fault.message}".removeprefix(": ")


def zipped(parts: Mapping[str, bytes]) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return data.getvalue()


def repacked(data: bytes, method: int) -> bytes:
    """A zip file compressed in another way."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", method) as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))
    return out.getvalue()


def sheet_of(*rows: list[object], formats: Mapping[str, str] | None = None) -> bytes:
    """A workbook of one sheet; formats: number formats by cell."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for cell, code in (formats or {}).items():
        book.active[cell].number_format = code
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


@pytest.mark.parametrize("name", ["list.csv", "list.xls", "list.pdf", "list"])
@pytest.mark.parametrize(
    "data", [workbook(), gzip.compress(workbook()), XLS], ids=["xlsx", "gz", "xls"]
)
def test_a_workbook_is_read_whatever_its_name(name: str, data: bytes) -> None:
    assert len(read(data, name).items) >= 1


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"<html><table><tr><td>1</td></tr></table>", "the file is a web page"),
        (b"<?xml version='1.0'?><x/>", "the file is an XML file"),
        (
            b"<?xml version='1.0'?><x xmlns='urn:schemas-microsoft-com:office:spreadsheet'/>",
            "the file is a workbook saved as XML",
        ),
        (b"{\\rtf1 prices}", "the file is a text document (RTF)"),
        (b"7z\xbc\xaf\x27\x1c\0\0", "the file is a 7z archive"),
        (b"Rar!\x1a\x07", "the file is a RAR archive"),
        (b"SQLite format 3\0", "the file is a database"),
        (zipped({}), "the file is an empty zip archive"),
        (zipped({"a.csv": b"x", "b.csv": b"y"}), "no workbook: it holds a.csv, b.csv. Unpack it"),
        (zipped({"word/document.xml": b"x"}), "the file is a document without sheets of cells"),
        (zipped({"xl/workbook.bin": b"x"}), "the file is a binary workbook (XLSB)"),
        (
            zipped({"xl/workbook.xml": b"x", "xl/vbaProject.bin": b"x"}),
            "the workbook holds macros. Save it as XLSX without them",
        ),
        (zipped({"xl/workbook.xml": b"<x"}), "the workbook cannot be read"),
        (
            XLS[:512] + "EncryptedPackage".encode("utf-16-le") + XLS[512:],
            "the workbook is protected by a password",
        ),
        (XLS[:1024], "the file is an old document that is no workbook"),
        (gzip.compress(workbook())[:-20], "is damaged"),
        (workbook()[:-30], "damaged"),
    ],
)
def test_what_is_no_price_list_is_told_for_what_it_is(data: bytes, expected: str) -> None:
    assert expected in refusal(data)


@pytest.mark.parametrize("cut", [600, 2_000, len(XLS) // 2])
@pytest.mark.parametrize("byte", [b"\0", b"\xff"])
def test_a_damaged_old_workbook_is_refused_or_read_but_never_breaks(cut: int, byte: bytes) -> None:
    damaged = XLS[:cut] + byte * 400 + XLS[cut + 400 :]

    try:
        found = read(damaged, "stone_bridge.xls")
    except InputRefused as refused:
        assert refused.faults
    else:
        assert found.rows_read == len(found.items) + found.rows_rejected + len(found.unread)


@pytest.mark.parametrize("data", [workbook(), ODS], ids=["xlsx", "ods"])
def test_a_zip_with_a_flipped_byte_is_refused_or_read_but_never_breaks(data: bytes) -> None:
    for at in range(40, len(data), len(data) // 16):
        damaged = data[:at] + bytes([data[at] ^ 0x5A]) + data[at + 1 :]
        try:
            read(damaged)
        except InputRefused as refused:
            assert refused.faults


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
@pytest.mark.parametrize("data", [workbook(), ODS], ids=["xlsx", "ods"])
def test_a_workbook_compressed_in_an_unusual_way_is_refused(data: bytes, method: int) -> None:
    assert len(read(repacked(workbook(), zipfile.ZIP_STORED)).items) == 1
    assert "is compressed in a way that those of workbooks are not" in refusal(
        repacked(data, method)
    )


def test_a_formula_gives_its_value_and_without_one_a_fault() -> None:
    rows = ([*HEAD.split(",")], [*ROW.split(",")[:3], "=0.5*0.6", "EA"])
    saved = sheet_of(*rows)
    valued = changed(
        saved,
        SHEET,
        lambda text: text.replace(b"<f>0.5*0.6</f><v></v>", b"<f>0.5*0.6</f><v>0.3</v>").replace(
            b"<f>0.5*0.6</f><v />", b"<f>0.5*0.6</f><v>0.3</v>"
        ),
    )

    assert "is a formula whose value is not in the file" in read(saved).rejected[0].message
    assert str(read(valued).items[0].unit_price) == "0.3000"


@pytest.mark.parametrize(
    ("code", "unit_price"),
    [("0.00", "0.3000"), ('0.00" /C"', "0.0030"), ('"$"#,##0.00', "0.3000"), ("General", "0.3000")],
)
def test_unit_and_currency_in_the_format_of_a_cell_count(code: str, unit_price: str) -> None:
    per = "C" if "/C" in code else "EA"
    rows = ([*HEAD.split(",")], [*ROW.split(",")[:3], 0.30, per])

    (item,) = read(sheet_of(*rows, formats={"D2": code})).items

    assert str(item.unit_price) == unit_price


def test_a_unit_in_the_format_that_contradicts_the_column_is_told() -> None:
    rows = ([*HEAD.split(",")], [*ROW.split(",")[:3], 0.30, "EA"])

    (fault,) = read(sheet_of(*rows, formats={"D2": '0.00" /C"'})).rejected

    assert "is written per C, but column per says EA" in fault.message


def test_numbers_of_a_workbook_are_the_shortest_that_mean_the_same() -> None:
    rows = [[*HEAD.split(",")]]
    rows += [
        [f"B-{at}", *ROW.split(",")[1:3], price, "EA"] for at, price in enumerate((0.1 + 0.2, 7))
    ]

    prices = [str(item.printed_price) for item in read(sheet_of(*rows)).items]

    assert prices == ["0.3", "7"]


def test_rows_cells_and_sheets_have_limits() -> None:
    rows = [[*HEAD.split(",")], *([f"B-{at}", *ROW.split(",")[1:]] for at in range(30))]
    book = sheet_of(*rows)

    assert read(book, limits=ListLimits(rows=30, cells=155, sheets=1)).rows_read == 30
    assert "more than 29 rows" in refusal(book, limits=ListLimits(rows=29))
    assert "it has more cells than can be read" in refusal(book, limits=ListLimits(cells=154))
    assert "the workbook has 1 sheets; at most 0" in refusal(book, limits=ListLimits(sheets=0))
