"""Harmful and mistaken files end in a clear error, in little memory and time."""

import time
import tracemalloc

import pytest
from bad_files import HEAD, MIB, ROW, bombs, wide, workbook

from estimator.catalogue.confirmed import read_confirmed
from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.records import PriceList
from estimator.finding import InputRefused
from estimator.takeoff.part_kinds import load_part_kinds

KINDS = load_part_kinds()
BOMBS, WIDE = bombs(), wide()
TOLD = {
    "zeros.csv.gz": "the most that can be read. Split it",
    "rows.csv.gz": "the most that can be read. Split it",
    "twice.csv.gz": "the file is compressed twice. Unpack it first",
    "blanks.xlsx": "that is more than a price list of its size holds",
    "rows.xlsx": "that is more than a price list of its size holds",
    "styles.xlsx": "the part 'xl/styles.xml' of the workbook unpacks to",
    "entities.xlsx": "its XML declares a document type, which no workbook needs",
    "head.csv": "row 1: 10,000 columns; at most 60 can be read",
    "no_names.csv": "no row names the columns, and there are more than 60",
    "head.xlsx": "10,000 columns; at most 60 can be read",
    "far_right.xlsx": "10,000 columns; at most 60 can be read",
}


def read(data: bytes, name: str = "list.csv") -> PriceList:
    return read_price_list(data, name, KINDS)


def refusal(data: bytes, name: str) -> str:
    with pytest.raises(InputRefused) as caught:
        read(data, name)
    (fault,) = caught.value.faults
    return f"{fault.where}: {fault.message}".removeprefix(": ")


@pytest.mark.parametrize(("name", "data"), [*BOMBS.items(), *WIDE.items()], ids=[*BOMBS, *WIDE])
def test_a_bomb_or_a_table_too_wide_is_refused_in_little_memory(name: str, data: bytes) -> None:
    assert len(data) < MIB
    read(workbook(), "warm_up.xlsx")

    tracemalloc.start()
    started = time.monotonic()
    told = refusal(data, name)
    seconds, peak = time.monotonic() - started, tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()

    assert TOLD[name] in told
    assert peak < 16 * MIB
    assert seconds < 20


def test_a_row_of_ten_thousand_cells_is_reported_and_the_others_are_read() -> None:
    price_list = read(f"{HEAD}\n{ROW}{',x' * 9_995}\n{ROW.replace('B-1', 'B-2')}\n".encode())

    (fault,) = price_list.rejected
    assert fault.where == "row 2"
    assert fault.message.startswith("has 10000 cells but the head has 5.")
    assert [item.number for item in price_list.items] == ["B-2"]


@pytest.mark.parametrize(
    "text",
    [
        '=HYPERLINK("http://invented.example","see")', "=1+1", "=cmd|'/c calc'!A1", "@SUM(A1)",
        "+cmd|'/c calc'!A1", "-SUM(A1:A9)", "- Sheet2!A1",
    ],
)  # fmt: skip
@pytest.mark.parametrize("column", ["item number", "description", "supplier", "replaced by"])
@pytest.mark.parametrize("plain_rows_before", [0, 2])
def test_a_text_that_a_spreadsheet_would_run_keeps_its_row_out(
    text: str, column: str, plain_rows_before: int
) -> None:
    names = ["item number", "kind", "attributes", "price", "per", "description", "supplier"]
    names.append("replaced by")
    plain = ["B-1", "insulating_bushing", "trade_size=1/2", "0.30", "EA", "a bushing", "", ""]
    rows = [names, *([f"P-{at}", *plain[1:]] for at in range(plain_rows_before))]
    rows.append([text if name == column else cell for name, cell in zip(names, plain, strict=True)])
    lines = [",".join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows]

    price_list = read("\n".join(lines).encode())

    (fault,) = price_list.rejected
    assert fault.where == f"row {len(rows)}, column {column}"
    assert "is a formula, which a spreadsheet would run" in fault.message
    assert len(price_list.items) == plain_rows_before


@pytest.mark.parametrize("text", ["-20 C (COLD) BUSHING", "+ GROUND, PLASTIC", "@ 10 PCS", "- new"])
def test_a_sign_before_a_plain_text_does_no_harm(text: str) -> None:
    price_list = read(f'{HEAD},description\n{ROW},"{text}"\n'.encode())

    assert [item.description for item in price_list.items] == [text]


@pytest.mark.parametrize("rows_before", [0, 100_000])
def test_nul_bytes_are_told_with_their_place(rows_before: int) -> None:
    before = f"{HEAD}\n".encode() + f"{ROW}\n".encode() * rows_before

    told = refusal(before + b"B-2\0,x,y,1,EA\n", "list.csv")

    assert "it holds NUL bytes" in told
    assert f"the first at byte {len(before) + 3:,}" in told


@pytest.mark.parametrize("name", ["list.csv", "list.xlsx", "list.csv.gz"])
def test_a_pdf_is_told_for_what_it_is_whatever_its_name(name: str) -> None:
    told = refusal(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n" + bytes(5_000), name)

    assert told == "the file is a PDF document. Save the price list as CSV or as an XLSX workbook"


@pytest.mark.parametrize(
    "before",
    [b"n" * 500, b"\xbd\n" * 450],
    ids=["far along its line", "after many lines"],
)
def test_a_byte_that_is_no_sign_is_refused_wherever_it_stands(before: bytes) -> None:
    """Which encoding it is, is told from the first lines; 0x9D is nothing in the likeliest."""
    data = f"{HEAD}\n{ROW}\n".encode() + b"# 1/2 \xbd " + before + b" \x9d\n"

    assert "neither UTF-8 nor Windows-1252" in refusal(data, "list.csv")
    with pytest.raises(InputRefused):
        read_confirmed(data, "confirmed.csv", KINDS)
