"""Tables whose shape is sound and whose cells are anything: hypothesis looks for what breaks."""

import csv
import io
import os
from collections.abc import Callable, Sequence

import pytest
from conftest import SAMPLES
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from estimator import usecases
from estimator.catalogue.columns.mapping_file import read_mapping
from estimator.catalogue.confirmed import read_confirmed
from estimator.catalogue.supplier_terms import COLUMNS as TERMS
from estimator.catalogue.supplier_terms import read_supplier_terms
from estimator.finding import InputRefused
from estimator.takeoff.labour_units import COLUMNS as LABOUR
from estimator.takeoff.part_kinds import load_part_kinds

EXAMPLES = int(os.environ.get("ESTIMATOR_HOSTILE", "1")) * 40
KINDS = load_part_kinds()
PRICES = ("supplier", "item number", "description", "price", "per", "pack", "valid from", "stock")
# Halves and wholes of what descriptions, prices, units and packs are written with.
_TRADE = (
    "0 00 1 2 -1 1/2 3/4 1-1/4 0/0 1/0 10 500 1e9 9999999999999 0.0 .5 1,5 1.234,56 $ % C M EA FT "
    "CFT BX RL MTR /BX /C PK X x # - AWG EMT THHN CU AL BLK STR LOCKNUT SCR CONN STL FT. IN MM KG "
    "NAN INF N/C call 2026-02-30 2026-03-15 15.03.2026 true '' \" = @"
)
_WORDS = st.sampled_from(_TRADE.split())
_MADE = st.lists(_WORDS, min_size=0, max_size=8).map(" ".join) | st.lists(
    _WORDS, min_size=1, max_size=5
).map("".join)
CELL = _MADE | st.text(max_size=40)
ROWS = st.lists(st.lists(CELL, min_size=1, max_size=9), min_size=1, max_size=6)
Rows = Sequence[Sequence[str]]


def written(head: Sequence[str], rows: Rows) -> bytes:
    kept = io.StringIO()
    writer = csv.writer(kept)
    writer.writerow(head)
    writer.writerows(rows)
    return kept.getvalue().encode("utf-8", "surrogatepass")


def workbook(head: Sequence[str], rows: Rows) -> bytes:
    book, kept = Workbook(), io.BytesIO()
    for row in (head, *rows):
        book.active.append([ILLEGAL_CHARACTERS_RE.sub("", cell) for cell in row])
    book.save(kept)
    return kept.getvalue()


def first_line(path: str) -> Sequence[str]:
    return (SAMPLES / path).read_text("utf-8").splitlines()[0].split(",")


READERS: dict[str, tuple[Sequence[str], Callable[[bytes], object]]] = {
    "price list": (PRICES, lambda data: usecases.read_catalogue([("list.csv", data)])),
    "supplier terms": (TERMS, lambda data: read_supplier_terms(data, "terms.csv")),
    "labour": (LABOUR, lambda data: usecases.read_labour(("labour.csv", data))),
    "confirmed": (
        first_line("price_lists_other/confirmed_matches.csv"),
        lambda data: read_confirmed(data, "confirmed.csv", KINDS),
    ),
    "mapping": (
        first_line("price_lists_quirky/" + min(
            path.name for path in (SAMPLES / "price_lists_quirky").glob("*.mapping.csv")
        )),
        lambda data: read_mapping(data, "list.mapping.csv"),
    ),
}  # fmt: skip
QUIET = settings(
    max_examples=EXAMPLES, deadline=None, derandomize=True, database=None,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip


def used_or_refused(read: Callable[[bytes], object], data: bytes) -> None:
    try:
        read(data)
    except InputRefused as refused:
        assert refused.faults
        assert all(fault.message.strip() for fault in refused.faults)


@pytest.mark.parametrize("name", READERS)
def test_any_cells_below_a_sound_head_are_used_or_refused(name: str) -> None:
    head, read = READERS[name]

    @QUIET
    @given(rows=ROWS)
    # What the coverage-guided fuzzer found: a pack of nothing was divided by.
    @example(rows=[["a", "A-1", "1/2 STL LOCKNUT 00/BX", "24.20", "BX", "", "", ""]])
    def one(rows: Rows) -> None:
        used_or_refused(read, written(head, rows))

    one()


def test_any_cells_of_a_workbook_are_used_or_refused() -> None:
    @QUIET
    @given(rows=ROWS)
    def one(rows: Rows) -> None:
        data = workbook(PRICES, rows)
        used_or_refused(lambda data: usecases.read_catalogue([("list.xlsx", data)]), data)

    one()


def test_any_words_of_the_trade_in_a_description_are_read_or_left_unread() -> None:
    """Long ones with sound numbers around them, so that every row gets as far as its words."""

    @QUIET
    @given(descriptions=st.lists(_MADE, min_size=1, max_size=12))
    def one(descriptions: list[str]) -> None:
        rows = [
            ["Invented", f"A-{number}", text, "24.20", "BX", "", "", ""]
            for number, text in enumerate(descriptions)
        ]
        used_or_refused(
            lambda data: usecases.read_catalogue([("list.csv", data)]), written(PRICES, rows)
        )

    one()
