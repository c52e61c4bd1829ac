"""Net prices, list prices with multipliers and discounts, and prices by class of customer."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest
from price_rows_factory import as_bytes, bushing, fault, only_item, read_rows, without

from estimator.catalogue.list_rules import ListSettings
from estimator.catalogue.read_price_list import read_price_list
from estimator.finding import InputRefused
from estimator.takeoff.part_kinds import load_part_kinds

with (Path(__file__).parent / "cases" / "discounts.csv").open(encoding="utf-8") as file:
    DISCOUNTS = list(csv.DictReader(file))
LISTED = without(bushing(per="EA"), "price")


def listed(**cells: str) -> dict[str, str]:
    return {**LISTED, **{name.replace("_", " "): value for name, value in cells.items()}}


def refusal(*rows: dict[str, str], settings: ListSettings) -> str:
    with pytest.raises(InputRefused) as caught:
        read_price_list(as_bytes(*rows), "list.csv", load_part_kinds(), settings=settings)
    (found,) = caught.value.faults
    return f"{found.where}: {found.message}"


@pytest.mark.parametrize(
    "case", DISCOUNTS, ids=[f"{c['discount']}: {c['source']}" for c in DISCOUNTS]
)
def test_list_price_less_discounts(case: dict[str, str]) -> None:
    item = only_item(listed(list_price=case["list_price"], discount=case["discount"]))

    assert item.unit_price == Decimal(case["net"])
    assert item.printed_price == Decimal(case["list_price"])


@pytest.mark.parametrize(
    ("multiplier", "net"),
    [("0.62", "62"), (".62", "62"), ("x 0.62", "62"), ("1", "100"), ("1.08", "108")],
)
def test_list_price_times_multiplier(multiplier: str, net: str) -> None:
    assert only_item(listed(list_price="100", multiplier=multiplier)).unit_price == Decimal(net)


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({"multiplier": "62"}, "column multiplier: '62' is not a multiplier from 0 to 2"),
        ({"multiplier": "0"}, "column multiplier: '0' is not a multiplier"),
        ({"multiplier": "A"}, "column multiplier: 'A' is not a multiplier"),
        ({"discount": "100"}, "column discount: '100' takes all of the price or more"),
        ({"discount": "50/110"}, "column discount: '50/110' takes all of the price or more"),
        ({"discount": "0.38"}, "column discount: '0.38' may be a percentage or a share of one. "
                               "Write 38.00 % or 0.38 %"),
        ({"discount": "5-Oct-50"}, "column discount: '5-Oct-50' is not a discount"),
        ({"discount": "best"}, "column discount: 'best' is not a discount"),
        ({"discount": "38", "multiplier": "0.61"}, "'38' and the multiplier '0.61' differ"),
        ({"discount": "", "multiplier": ""}, "is a list price, and the row gives neither"),
    ],
)  # fmt: skip
def test_a_discount_that_cannot_be_read_keeps_the_row_out(
    cells: dict[str, str], expected: str
) -> None:
    good = listed(item_number="B-2", list_price="100", multiplier="0.5", discount="")

    assert expected in fault(listed(list_price="100", **cells), good)


def test_discount_and_multiplier_that_agree_may_both_stand() -> None:
    item = only_item(listed(list_price="100", discount="38", multiplier="0.62"))

    assert item.unit_price == 62


def test_a_net_price_counts_when_it_is_the_discounted_list_price() -> None:
    agreeing = bushing(per="EA", price="61.99", list_price="100", discount="38")
    differing = bushing(per="EA", price="62.40", list_price="100", discount="38")

    assert only_item(agreeing).unit_price == Decimal("61.99")
    assert "62.40 is not the list price 100 times 0.62, which is 62.00" in fault(differing)


def test_a_list_of_list_prices_needs_the_word_of_a_person() -> None:
    row = listed(list_price="100")

    assert "Say for the whole list what list prices are multiplied by" in refusal(
        row, settings=ListSettings()
    )
    told = ListSettings(multiplier=Decimal("0.62"))
    assert only_item(row, settings=told).unit_price == 62


def test_the_multiplier_of_a_row_goes_before_that_of_the_list() -> None:
    rows = [
        listed(item_number="B-1", list_price="100", multiplier="0.5"),
        listed(item_number="B-2", list_price="100", multiplier=""),
    ]

    items = read_rows(*rows, settings=ListSettings(multiplier=Decimal("0.62"))).items

    assert [item.unit_price for item in items] == [50, 62]


def test_the_class_of_customer_is_chosen_by_a_person() -> None:
    row = {**LISTED, "col 1": "10.00", "col 2": "9.00", "col 3": "8.00"}

    assert "prices for 3 classes of customer" in refusal(row, settings=ListSettings())
    assert "no column of prices for class 4" in refusal(row, settings=ListSettings(price_class=4))
    for price_class, price in ((1, 10), (2, 9), (3, 8)):
        item = only_item(row, settings=ListSettings(price_class=price_class))
        assert item.unit_price == price


def test_numbered_prices_without_quantities_are_classes() -> None:
    row = {**LISTED, "price 1": "10.00", "price 2": "9.00"}

    assert "2 classes of customer" in refusal(row, settings=ListSettings())
    assert only_item(row, settings=ListSettings(price_class=2)).unit_price == 9


def test_a_single_class_needs_no_choice() -> None:
    assert only_item({**LISTED, "col 1": "10.00"}).unit_price == 10


@pytest.mark.parametrize(
    ("price", "expected"),
    [
        ("CALL", "'CALL' is not a price: the supplier tells it on request. Ask the supplier"),
        ("N/C", "'N/C' is not a price: it may mean no charge or no change"),
        ("n/a", "'n/a' is not a price: the supplier gives none"),
        ("Discontinued", "'Discontinued' is not a price: the item seems to be discontinued"),
    ],
)
def test_a_row_without_a_price_says_why(price: str, expected: str) -> None:
    assert expected in fault(bushing(price=price), bushing(item_number="B-2"))


def test_currencies_do_not_mix() -> None:
    assert "is marked CAD but the row is in USD" in fault(bushing(price="12.50 CAD"))
    assert only_item(bushing(price="12.50 CAD", currency="CAD")).currency == "CAD"
    assert only_item(bushing(price="$12.50", currency="CAD")).currency == "CAD"
