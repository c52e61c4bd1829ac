"""Quantity breaks, minimum orders and increments become whole packs."""

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from price_rows_factory import bushing, fault, only_item, read_rows, wire, without

from estimator.catalogue.list_rules import ListSettings
from estimator.catalogue.records import Item, PriceBreak

SINGLES = bushing(price="1.00", per="EA", pack="")
BOXES = bushing(price="1.00", per="EA", pack="10")
PACKS = ListSettings(breaks_count="packs")


def with_breaks(row: dict[str, str], *breaks: tuple[str, str]) -> dict[str, str]:
    cells = dict(row)
    for number, (quantity, price) in enumerate(breaks, start=1):
        cells |= {f"qty {number}": quantity, f"price {number}": price}
    return cells


def levels(item: Item) -> list[tuple[int, str]]:
    return [(each.from_packs, str(each.unit_price)) for each in item.breaks]


def test_breaks_price_the_whole_line_from_their_quantity_on() -> None:
    item = only_item(with_breaks(SINGLES, ("10", "0.90"), ("100", "0.80"), ("", "")))

    assert item.breaks == (PriceBreak(10, Decimal("0.9000")), PriceBreak(100, Decimal("0.8000")))
    assert [item.unit_price_of(packs) for packs in (1, 9, 10, 99, 100, 10_000)] == [
        Decimal("1.0000"), Decimal("1.0000"), Decimal("0.9000"), Decimal("0.9000"),
        Decimal("0.8000"), Decimal("0.8000"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "breaks",
    [
        [("1", "1.00"), ("10", "0.90"), ("100", "0.80")],
        [("1-9", "1.00"), ("10-99", "0.90"), ("100+", "0.80")],
        [("1 EA", "1.00/EA"), ("10 EA", "$0.90"), ("1 C", "0.80")],
    ],
)
@pytest.mark.parametrize("base", [True, False])
def test_the_first_break_may_be_the_base_price(breaks: list[tuple[str, str]], base: bool) -> None:
    row = SINGLES if base else without(SINGLES, "price")

    item = only_item(with_breaks(row, *breaks))

    assert item.unit_price == 1
    assert levels(item) == [(10, "0.9000"), (100, "0.8000")]


def test_a_break_counts_pieces_and_its_price_is_for_what_the_price_is_for() -> None:
    item = only_item(
        with_breaks(
            bushing(price="12.50", per="C", pack="100"), ("500", "11.00"), ("1000", "10.00")
        )
    )

    assert levels(item) == [(5, "0.1100"), (10, "0.1000")]


def test_a_break_counts_packs_where_the_price_is_for_one_or_the_list_says_so() -> None:
    per_box = only_item(
        with_breaks(bushing(price="12.50", per="BX", pack="100"), ("5", "11.00"), ("10", "10.00"))
    )
    told = only_item(with_breaks(BOXES, ("5", "0.90")), settings=PACKS)
    by_unit = only_item(with_breaks(BOXES, ("5 BX", "0.90")))

    assert levels(per_box) == [(5, "0.1100"), (10, "0.1000")]
    assert levels(told) == levels(by_unit) == [(5, "0.9000")]


def test_breaks_by_length() -> None:
    cut = only_item(with_breaks(wire(price="0.55", per="FT"), ("250", "0.50"), ("1 MFT", "0.45")))
    reels = only_item(with_breaks(wire(price="385", per="M", pack="500"), ("2500", "360")))
    metres = only_item(with_breaks(wire(price="1.80", per="MTR", pack=""), ("100", "1.50")))

    assert levels(cut) == [(250, "0.5000"), (1000, "0.4500")]
    assert levels(reels) == [(5, "0.3600")]
    # 100 m are 328.08 ft; the break is reached with the next whole foot.
    assert levels(metres) == [(329, "0.4572")]


@pytest.mark.parametrize(
    ("breaks", "expected"),
    [
        ([("10", "1.00")], "column break price 1: '1.00' is not cheaper than a smaller quantity"),
        ([("10", "0.90"), ("100", "0.95")], "column break price 2: '0.95' is not cheaper than"),
        (
            [("10", "0.90"), ("5", "0.80")],
            "column break quantity 2: '5' is not more than the break",
        ),
        ([("10", "0.90"), ("10", "0.80")], "column break quantity 2: '10' is not more than the"),
        (
            [("1", "0.95"), ("10", "0.90")],
            "column break price 1: '0.95' is for the first pack, but",
        ),
        ([("10", "")], "column break price 1: is blank; a quantity break needs its price"),
        ([("", "0.90")], "column break quantity 1: is blank; a quantity break needs its quantity"),
        (
            [("10-200", "0.90"), ("100", "0.80")],
            "column break quantity 2: '100' overlaps the break",
        ),
        ([("many", "0.90")], "column break quantity 1: 'many' is not a quantity above zero"),
        ([("0", "0.90")], "column break quantity 1: '0' is not a quantity above zero"),
        ([("10 FT", "0.90")], "column break quantity 1: counts in FT, which these goods are not"),
        ([("10", "call")], "column break price 1: 'call' is not a price"),
    ],
)  # fmt: skip
def test_breaks_that_cannot_be_right_keep_the_row_out(
    breaks: list[tuple[str, str]], expected: str
) -> None:
    assert expected in fault(with_breaks(SINGLES, *breaks))


def test_a_break_within_a_pack_is_never_read_as_packs_by_chance() -> None:
    few = fault(with_breaks(BOXES, ("5", "0.90"), ("20", "0.80")))
    some = fault(with_breaks(BOXES, ("10", "1.00"), ("25", "0.80")))

    assert "column break quantity 1: '5' is not a whole number of packs of 10" in few
    assert "column break quantity 2: '25' is not a whole number of packs of 10" in some


@pytest.mark.parametrize(
    ("row", "minimum", "increment", "expected"),
    [
        (SINGLES, "25", "5", (25, 5)),
        (SINGLES, "", "", (1, 1)),
        (BOXES, "25", "10", (3, 1)),
        (BOXES, "25 BX", "5 BX", (25, 5)),
        (BOXES, "", "5", (1, 1)),
        (bushing(price="9", per="BX", pack="100"), "2", "3", (2, 3)),
        (wire(price="0.55", per="FT"), "100", "25", (100, 25)),
        (wire(price="0.55", per="FT"), "1 CFT", "", (100, 1)),
        (wire(price="1.80", per="MTR", pack=""), "10", "", (33, 1)),
        (wire(price="385", per="M", pack="500"), "600", "500", (2, 1)),
    ],
)  # fmt: skip
def test_minimum_and_increment_in_packs(
    row: dict[str, str], minimum: str, increment: str, expected: tuple[int, int]
) -> None:
    item = only_item({**row, "minimum order": minimum, "increment": increment})

    assert (item.minimum_packs, item.pack_increment) == expected


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({"minimum order": "$50"}, "column minimum order: '$50' is not a quantity above zero"),
        ({"increment": "15"}, "column increment: '15' is not a whole number of packs, nor a pack"),
        ({"increment": "-5"}, "column increment: '-5' is not a quantity"),
    ],
)
def test_order_terms_that_cannot_be_read_keep_the_row_out(
    cells: dict[str, str], expected: str
) -> None:
    assert expected in fault({**BOXES, **cells})


def test_all_faults_of_the_order_terms_are_told_at_once() -> None:
    rows = with_breaks({**BOXES, "minimum order": "some", "increment": "15"}, ("x", "1"))

    assert [found.where.rpartition(", ")[2] for found in read_rows(rows).rejected] == [
        "column minimum order", "column increment", "column break quantity 1",
    ]  # fmt: skip


@given(
    st.lists(
        st.tuples(st.integers(2, 10_000), st.integers(1, 9_999)), min_size=1, max_size=5
    )
)  # fmt: skip
def test_breaks_are_read_only_when_each_is_cheaper_than_the_one_before(
    given_breaks: list[tuple[int, int]],
) -> None:
    breaks = [(str(quantity), f"{cents / 100:.2f}") for quantity, cents in given_breaks]
    quantities = [0, *[quantity for quantity, _ in given_breaks]]
    prices = [100, *[cents for _, cents in given_breaks]]
    right = all(a < b for a, b in pairwise(quantities)) and all(a > b for a, b in pairwise(prices))

    row = with_breaks(SINGLES, *breaks)

    if right:
        assert levels(only_item(row)) == [
            (quantity, f"{cents / 100:.4f}") for quantity, cents in given_breaks
        ]
    else:
        assert "break" in fault(row)
