"""An item number that stands twice is reported, never silently chosen from."""

import pytest
from catalogue_factory import GOOD_ROW, WIRE_ROW, read, row


@pytest.mark.parametrize(
    ("changed", "differing"),
    [
        ({"price": "13.00"}, "price"),
        ({"pack": "50"}, "pack"),
        ({"per": "EA"}, "unit, price"),
        ({"attributes": "trade_size=1"}, "attributes"),
        ({"currency": "CAD"}, "currency"),
    ],
)
def test_reports_every_row_of_an_item_that_differs(changed: dict[str, str], differing: str) -> None:
    price_list = read(row(), row({**GOOD_ROW, **changed}), row(item_number="B-2"))

    assert [item.number for item in price_list.items] == ["B-2"]
    assert [fault.where for fault in price_list.rejected] == [
        "row 2, column item number",
        "row 3, column item number",
    ]
    assert all(
        fault.message.startswith(f"'B-1' stands in rows 2, 3 with different {differing}.")
        for fault in price_list.rejected
    )


def test_reports_both_rows_of_an_item_with_two_units() -> None:
    price_list = read(row(WIRE_ROW), row(WIRE_ROW, per="EA"))

    assert price_list.items == ()
    assert price_list.rows_rejected == 2
    assert [fault.where for fault in price_list.rejected] == [
        "row 2, column item number",
        "row 3, column per",
        "row 3, column item number",
    ]


def test_keeps_the_first_of_two_rows_alike_and_reports_the_other() -> None:
    price_list = read(row(), row(description="again"))

    assert [item.row for item in price_list.items] == [2]
    (fault,) = price_list.rejected
    assert fault.where == "row 3, column item number"
    assert fault.message == "'B-1' stands in row 2 already, with the same price"


def test_a_row_without_a_readable_price_does_not_condemn_the_good_one() -> None:
    price_list = read(row(), row(price="call"))

    assert [item.row for item in price_list.items] == [2]
    assert price_list.rows_rejected == 1


def test_two_suppliers_may_use_the_same_number() -> None:
    price_list = read(row(supplier="One"), row(supplier="Two", price="13.00"))

    assert len(price_list.items) == 2
