"""A file of which nothing can be used is refused with its name and the reason."""

import hashlib

import pytest
from catalogue_factory import HEAD, read, read_text, row

from estimator.catalogue.files.limits import DEFAULT_LIMITS, ListLimits
from estimator.catalogue.read_price_list import read_price_list as read_bytes
from estimator.finding import InputRefused
from estimator.takeoff.part_kinds import load_part_kinds


def refusal(data: bytes, name: str = "list.csv", limits: ListLimits = DEFAULT_LIMITS) -> str:
    with pytest.raises(InputRefused) as caught:
        read_bytes(data, name, load_part_kinds(), limits=limits)
    (fault,) = caught.value.faults
    assert caught.value.what == name
    return f"{fault.where}: {fault.message}".removeprefix(": ")


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"", "the file is empty"),
        (b" \r\n\r\n", "the file is empty"),
        (b"\xef\xbb\xbf", "the file is empty"),
        (b"PK\x03\x04rest of a workbook", "the file is a zip archive or workbook that is damaged"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "the file is an old document that is no workbook"),
        (b"%PDF-1.7", "the file is a PDF document"),
        (b"\x1f\x8b\x08", "the compressed file is damaged"),
        (
            b"item number,kind\x00\x01",
            "the file is binary or damaged, not text: it holds NUL bytes",
        ),
        (b"item number,kind\x01", "the file is binary or damaged, not text: it holds control"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "the file is a picture (PNG)"),
        (b"1\xc0 2\xc1 3\xc2", "the file is neither UTF-8 nor Windows-1252"),
        (b"\xff\xfea", "the file is marked as utf-16 but from byte 3"),
        (b"just some words", "no head row in the first 20 rows. One row must name the columns"),
    ],
)
def test_refuses_a_file_that_is_not_a_price_list(data: bytes, expected: str) -> None:
    assert refusal(data).startswith(expected)


def test_says_what_the_nearest_head_row_lacks() -> None:
    text = "Prices\nitem number,colour,price,per\nB-1,bushing,0.20,EA\n"

    assert "Row 2 comes nearest; it lacks kind, attributes" in refusal(text.encode())


def test_refuses_a_column_that_stands_twice() -> None:
    text = HEAD.replace("description", "net price") + "\n" + row(description="12.00")

    assert refusal(text.encode()) == (
        "row 1: column price stands twice, in D and I. Keep the one that counts and rename the "
        "other, or say which it is in a mapping (see `estimator catalogue columns`)"
    )


def test_refuses_a_list_without_rows() -> None:
    assert refusal(HEAD.encode()) == "row 1: there is no row below the head row"


def test_refuses_more_columns_than_can_be_read() -> None:
    at_limit = HEAD + "," * 50
    over = at_limit + ","

    assert len(read(row(), head=at_limit).items) == 1
    assert refusal(over.encode()) == "row 1: 61 columns; at most 60 can be read"


def test_refuses_more_bytes_than_can_be_read() -> None:
    data = f"{HEAD}\n{row()}\n".encode()
    limits = ListLimits(file_bytes=len(data))

    assert len(read_bytes(data, "list.csv", load_part_kinds(), limits=limits).items) == 1
    told = refusal(data + b"\n", limits=limits)
    assert told.startswith(f"the file has more than {len(data)} bytes, the most that can be read")


def test_refuses_more_rows_than_can_be_read() -> None:
    limits = ListLimits(rows=2)
    text = "\n".join((HEAD, row(), row(item_number="B-2")))
    over = text + "\n" + row(item_number="B-3")

    assert read_bytes(text.encode(), "list.csv", load_part_kinds(), limits=limits).rows_read == 2
    assert refusal(over.encode(), limits=limits) == "row 4: more than 2 rows; split the list"


def test_limits_are_those_that_the_manual_states() -> None:
    assert DEFAULT_LIMITS.file_bytes == 20 * 1024 * 1024
    assert (DEFAULT_LIMITS.rows, DEFAULT_LIMITS.columns) == (200_000, 60)


def test_refuses_a_quotation_mark_that_never_closes() -> None:
    text = f'{HEAD}\n{row()}\n"' + "x" * 140_000

    assert refusal(text.encode()) == (
        "row 3: a cell has more than 100,000 characters. Is a quotation mark left open?"
    )


def test_the_digest_is_that_of_the_bytes() -> None:
    data = f"{HEAD}\n{row()}\n".encode()

    price_list = read_bytes(data, "list.csv", load_part_kinds())

    assert price_list.digest == hashlib.sha256(data).hexdigest()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_reads_the_usual_encodings(encoding: str) -> None:
    text = f"{HEAD}\n{row(description='¾ plug, 2 µm')}\n"

    price_list = read_bytes(text.encode(encoding), "list.csv", load_part_kinds())

    assert price_list.items[0].description == "¾ plug, 2 µm"


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_finds_the_delimiter(delimiter: str, line_end: str) -> None:
    head = delimiter.join(HEAD.split(","))
    cells = row().split('","')
    text = line_end.join((head, f'"{delimiter}"'.join(cells)))

    assert read_text(text).items[0].number == "B-1"


def test_finds_the_head_row_under_a_letterhead() -> None:
    letterhead = ["Invented Supply,,,", "Prices, valid from spring", ""]

    price_list = read_text("\n".join((*letterhead, HEAD, row(), row(price="call"))))

    assert price_list.items[0].row == 5
    assert price_list.rejected[0].where == "row 6, column price"


def test_finds_the_head_row_in_row_20_but_not_in_row_21() -> None:
    title = "Prices\n"

    assert read_text(title * 19 + f"{HEAD}\n{row()}").items[0].row == 21
    assert refusal((title * 20 + f"{HEAD}\n{row()}").encode()).startswith("no head row")


def test_heads_may_be_written_in_other_ways_and_orders() -> None:
    text = "UOM,Std. Pack,SKU,NET PRICE,Vendor,Kind,Attributes,Colour of the lid\n"
    text += "C,100,B-1,12.50,Other,insulating_bushing,trade_size=3/4,red\n"

    (item,) = read_text(text).items
    assert (item.number, item.pack, item.supplier) == ("B-1", 100, "Other")
    assert str(item.unit_price) == "0.1250"


def test_passes_over_a_head_row_that_is_repeated_on_each_page() -> None:
    price_list = read(row(), HEAD, row(item_number="B-2"))

    assert price_list.rows_read == 2
    assert [item.row for item in price_list.items] == [2, 4]
