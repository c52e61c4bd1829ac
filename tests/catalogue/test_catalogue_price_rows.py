"""Every row of a price list is an item, or is reported with its row number and reason."""

import re
from decimal import Decimal

import pytest
from catalogue_factory import GOOD_ROW, HEAD, WIRE_ROW, read, row
from hypothesis import given
from hypothesis import strategies as st

from estimator.catalogue.records import PriceList
from estimator.takeoff.part_kinds import load_part_kinds


def rejected_rows(price_list: PriceList) -> set[int]:
    found = [re.match(r"row (\d+)", fault.where) for fault in price_list.rejected]
    return {int(match[1]) for match in found if match}


def only_fault(*rows: str) -> str:
    price_list = read(*rows)
    (fault,) = price_list.rejected
    assert price_list.rows_rejected == 1
    return f"{fault.where}: {fault.message}"


def test_reads_a_good_row_into_an_item() -> None:
    price_list = read(row())

    (item,) = price_list.items
    assert item.number == "B-1"
    assert item.attributes == (("trade_size", "3/4"),)
    assert (item.unit, item.pack, item.unit_price) == ("ea", Decimal(100), Decimal("0.1250"))
    assert (item.printed_price, item.price_basis) == (Decimal("12.50"), "hundred")
    assert (item.supplier, item.currency, item.row) == ("invented supply", "USD", 2)
    assert price_list.rejected == ()


BAD_ROWS = [
    ({"price": ""}, "row 2, column price: is blank"),
    ({"price": "call"}, "row 2, column price: 'call' is not a price"),
    ({"price": "N/A"}, "row 2, column price: 'N/A' is not a price"),
    ({"price": "0.00"}, "row 2, column price: '0.00' is not above zero"),
    ({"price": "-3.10"}, "row 2, column price: '-3.10' is not above zero"),
    ({"price": "(3.10)"}, "row 2, column price: '(3.10)' is not above zero"),
    ({"price": "NaN"}, "row 2, column price: 'NaN' is not a price"),
    ({"price": "Infinity"}, "row 2, column price: 'Infinity' is not a price"),
    ({"price": "1e3"}, "row 2, column price: '1e3' is not a price"),
    ({"price": "=A1*2"}, "row 2, column price: '=A1*2' is not a price"),
    ({"price": "#REF!"}, "row 2, column price: '#REF!' is not a price"),
    ({"price": "1,23,4.5"}, "row 2, column price: '1,23,4.5' is not a number"),
    ({"price": "20000000"}, "row 2, column price: '20000000' is above 10,000,000"),
    ({"price": "0.004"}, "row 2, column price: comes to less than 0.0001 for one"),
    ({"price": "€12.50"}, "row 2, column price: '€12.50' is marked € but the row is in USD"),
    ({"price": "12.50 CAD"}, "row 2, column price: '12.50 CAD' is marked CAD but the row is in"),
    ({"currency": "dollars"}, "row 2, column currency: 'DOLLARS' is not a currency code"),
    ({"item number": ""}, "row 2, column item number: is blank"),
    ({"item number": "1.2E+11"}, "row 2, column item number: '1.2E+11' was shortened by a"),
    ({"kind": ""}, "row 2, column kind: is blank"),
    ({"kind": "bushing"}, "row 2, column kind: 'bushing' is not a kind of part that we know"),
    ({"attributes": ""}, "row 2, column attributes: trade_size is missing. Write trade_size=..."),
    (
        {"attributes": "trade_size=3/4; colour=red"},
        "row 2, column attributes: 'colour' is not an attribute of insulating_bushing",
    ),
    (
        {"attributes": "trade_size=3/4; trade_size=1"},
        "row 2, column attributes: 'trade_size' stands twice",
    ),
    ({"attributes": "3/4"}, "row 2, column attributes: '3/4' gives no value"),
    ({"per": ""}, "row 2, column per: is blank"),
    ({"per": "dozens"}, "row 2, column per: 'dozens' is not a unit we know"),
    ({"per": "BX", "pack": ""}, "row 2, column per: 'BX' does not say how much it contains"),
    ({"per": "LBR"}, "row 2, column per: 'LBR' is not a unit that parts are counted in"),
    ({"per": "MTR"}, "row 2, column per: 'metre' cannot be: insulating_bushing is sold by the"),
    ({"per": "FT"}, "row 2, column per: 'foot' cannot be: insulating_bushing is sold by the piece"),
    ({"per": "MFT"}, "row 2, column per: 'thousand feet' cannot be"),
    ({"pack": "0"}, "row 2, column pack: '0' is not a number of units above zero"),
    ({"pack": "-5"}, "row 2, column pack: '-5' is not a number of units above zero"),
    ({"pack": "box"}, "row 2, column pack: 'box' is not a number of units above zero"),
    ({"pack": "NaN"}, "row 2, column pack: 'NaN' is not a number of units above zero"),
    ({"pack": "0.00001"}, "row 2, column pack: '0.00001' is not a number of units above zero"),
    ({"pieces per pack": "2.5"}, "row 2, column pieces per pack: '2.5' is not a number of pieces"),
    ({"pieces per pack": "0"}, "row 2, column pieces per pack: '0' is not a number of pieces"),
    ({"pieces per pack": "10"}, "row 2, column pieces per pack: is for goods by length only"),
    ({"description": "x" * 2001}, "row 2: a cell has 2,001 characters; at most 2,000"),
]


@pytest.mark.parametrize(("changed", "expected"), BAD_ROWS, ids=[case[1] for case in BAD_ROWS])
def test_reports_a_bad_row(changed: dict[str, str], expected: str) -> None:
    bad = row({**GOOD_ROW, **changed})

    assert only_fault(bad, row(item_number="B-2")).startswith(expected)


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({"per": "EA"}, "row 2, column per: 'each' cannot be: conductor is sold by length"),
        ({"pack": "100", "pieces per pack": "3"}, "row 2, column pieces per pack: 3 pieces in a"),
        ({"pack": "5", "pieces per pack": "10"}, "row 2, column pieces per pack: 10 pieces in a"),
    ],
)
def test_reports_a_bad_row_of_goods_by_length(changed: dict[str, str], expected: str) -> None:
    assert only_fault(row({**WIRE_ROW, **changed})).startswith(expected)


@pytest.mark.parametrize(
    ("pack", "pieces", "stands"),
    [
        ("20", "", True),
        ("21", "", False),
        ("100", "", False),
        ("100", "10", True),
        ("100", "4", False),
    ],
)
def test_conduit_longer_than_a_stick_needs_its_pieces(pack: str, pieces: str, stands: bool) -> None:
    bundle = row(
        WIRE_ROW,
        kind="raceway",
        attributes="raceway=EMT; trade_size=3/4",
        pack=pack,
        pieces_per_pack=pieces,
    )

    price_list = read(bundle)

    assert bool(price_list.items) is stands
    if not stands:
        assert "Write how many sticks a pack has" in price_list.rejected[0].message


def test_reports_all_faults_of_a_row_at_once() -> None:
    price_list = read(row(price="call", per="", pack="none"))

    assert [fault.where for fault in price_list.rejected] == [
        "row 2, column price",
        "row 2, column per",
        "row 2, column pack",
    ]
    assert (price_list.rows_read, price_list.rows_rejected) == (1, 1)


def test_reports_a_row_with_more_cells_than_the_head() -> None:
    fault = only_fault(row() + ",3/4, plated", row(item_number="B-2"))

    assert fault.startswith("row 2: has 12 cells but the head has 10")


def test_blank_cells_beyond_the_head_do_no_harm() -> None:
    price_list = read(row() + ",,")

    assert len(price_list.items) == 1


def test_a_row_may_end_early_where_columns_may_be_blank() -> None:
    price_list = read("B-1,insulating_bushing,trade_size=3/4,0.20,EA")

    (item,) = price_list.items
    assert item.pack == 1
    assert item.description == load_part_kinds()["insulating_bushing"].describe(item.attributes)


def test_row_numbers_count_blank_rows_and_rows_within_quotation_marks_once() -> None:
    price_list = read(row(description="two\nlines"), "", ",,,,", row(price="call"))

    assert [fault.where for fault in price_list.rejected] == ["row 5, column price"]
    assert price_list.rows_read == 2


def test_suggests_the_nearest_kind() -> None:
    assert "nearest: insulating_bushing" in only_fault(row(kind="insulated_bushing"))


def test_attribute_order_and_case_of_names_do_not_matter() -> None:
    mixed = "Colour=black; INSULATION=THHN/THWN-2 ;material = cu;size=10  AWG;"

    price_list = read(row(WIRE_ROW, kind="Conductor", attributes=mixed))

    assert price_list.items[0].attributes == (
        ("size", "10 AWG"),
        ("material", "cu"),
        ("insulation", "THHN/THWN-2"),
        ("colour", "black"),
    )


def test_supplier_comes_from_the_row_and_else_from_the_file() -> None:
    price_list = read(row(supplier="Other Supply"), row(), name="folder/main_street.csv")

    assert [item.supplier for item in price_list.items] == ["Other Supply", "main street"]
    assert price_list.name == "main_street.csv"
    assert price_list.supplier == "main street"


def test_a_list_of_one_supplier_is_named_for_it() -> None:
    assert read(row(supplier="Other Supply")).supplier == "Other Supply"


CELLS = {
    "item number": st.sampled_from(["A", "B", "C", ""]),
    "price": st.sampled_from(["1.00", "2.00", "call", "", "1,234", "12,5"]),
    "per": st.sampled_from(["EA", "C", "FT", ""]),
    "pack": st.sampled_from(["", "10", "x"]),
    "kind": st.sampled_from(["insulating_bushing", "conductor", "thing"]),
}


@given(st.lists(st.fixed_dictionaries(CELLS), min_size=1, max_size=12))
def test_every_row_is_an_item_or_is_reported(changes: list[dict[str, str]]) -> None:
    price_list = read(*(row({**GOOD_ROW, **changed}) for changed in changes))

    rejected = rejected_rows(price_list)
    assert price_list.rows_read == len(changes)
    assert price_list.rows_read == len(price_list.items) + price_list.rows_rejected
    assert len(rejected) == price_list.rows_rejected
    assert {item.row for item in price_list.items} | rejected == set(range(2, 2 + len(changes)))
    assert not {item.row for item in price_list.items} & rejected


def test_every_documented_column_is_in_the_head_of_these_tests() -> None:
    assert len(HEAD.split(",")) == len(GOOD_ROW) == 10
