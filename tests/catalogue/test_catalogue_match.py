"""Items are matched by kind and all attributes; what is left out is told."""

from decimal import Decimal

import pytest
from catalogue_factory import (
    BUSHING,
    WIRE,
    index,
    item,
    part,
    price_list,
    read,
    row,
    wire,
    wire_part,
)

from estimator.catalogue.match import index_items, offers_for, worth_buying
from estimator.catalogue.records import Item
from estimator.takeoff.records import Attributes


def numbers(found: tuple[object, ...]) -> list[str]:
    return [offer.item.number for offer in found]  # type: ignore[attr-defined]


def test_matches_the_same_kind_and_attributes_only() -> None:
    other_size: Attributes = (("trade_size", "1"),)
    made = index(item("A", "0.20"), item("B", "0.30", attributes=other_size))

    assert numbers(offers_for(part("1"), made)) == ["A"]
    assert numbers(offers_for(part("1", attributes=other_size), made)) == ["B"]
    assert offers_for(part("1", attributes=(("trade_size", "2"),)), made) == ()


def test_a_kind_with_like_attributes_is_another_part() -> None:
    made = index(item("A", "0.20", kind="anti_short_bushing"))

    assert offers_for(part("1"), made) == ()


def test_letter_case_of_attribute_values_does_not_matter() -> None:
    shouted: Attributes = tuple((name, value.upper()) for name, value in WIRE)
    made = index(item("A", "0.20", kind="conductor", attributes=shouted))

    assert numbers(offers_for(part("1", "conductor", WIRE, ["1"]), made)) == ["A"]


def test_offers_stand_in_order_of_unit_price_then_larger_pack_then_number() -> None:
    made = index(item("D", "0.20"), item("C", "0.10"), item("A", "0.10"), item("B", "0.10", "100"))

    assert numbers(offers_for(part("1"), made)) == ["B", "A", "C", "D"]


@pytest.mark.parametrize(
    ("items", "kept"),
    [
        # The same pack for more, and the same pack at the same price.
        ((item("A", "0.20"), item("B", "0.21")), ["A"]),
        ((item("A", "0.20"), item("B", "0.20")), ["A"]),
        # A smaller pack that costs more than a larger one, as much, and less.
        ((item("A", "0.10", "10"), item("B", "1.01")), ["A"]),
        ((item("A", "0.10", "10"), item("B", "1.00")), ["A", "B"]),
        ((item("A", "0.10", "10"), item("B", "0.99")), ["A", "B"]),
    ],
)
def test_an_offer_that_another_beats_in_size_and_price_is_not_worth_buying(
    items: tuple[Item, ...], kept: list[str]
) -> None:
    assert numbers(worth_buying(part("1"), index(*items))) == kept


@pytest.mark.parametrize(
    ("items", "kept"),
    [
        # By the foot any length comes in one piece, which no reel replaces.
        ((wire("REEL", "0.30", "100"), wire("FOOT", "31.00")), ["REEL", "FOOT"]),
        ((wire("FOOT", "0.41"), wire("DEARER", "0.46")), ["FOOT"]),
        # Two pieces of 50 ft are no piece of 100 ft.
        ((wire("TWO", "0.30", "100", 2), wire("ONE", "0.35", "100")), ["TWO", "ONE"]),
    ],
)
def test_length_is_worth_buying_unless_another_is_as_long_in_every_piece(
    items: tuple[Item, ...], kept: list[str]
) -> None:
    assert numbers(worth_buying(wire_part("1"), index(*items))) == kept


def test_items_in_another_currency_are_left_out_and_counted() -> None:
    made = index(item("A", "0.20"), item("B", "0.10", currency="CAD"))

    assert numbers(offers_for(part("1"), made)) == ["A"]
    (finding,) = made.findings
    assert (finding.severity, finding.code) == ("warning", "ITEMS_IN_OTHER_CURRENCY")
    assert finding.message == (
        "1 of 2 items of list.csv are priced in CAD, not in USD; they were left out."
    )


def test_rows_that_could_not_be_read_are_told() -> None:
    made = index_items([read(row(), row(item_number="B-2", price="call"))], "USD")

    (finding,) = made.findings
    assert finding.code == "PRICE_LIST_ROWS_LEFT_OUT"
    assert finding.message.startswith(
        "1 of 2 rows of invented_supply.csv could not be used. row 3, column price: 'call' is not"
    )


def test_an_item_with_two_prices_in_two_lists_is_told_and_the_cheaper_counts() -> None:
    lists = [price_list([item("A", "0.20")], "old"), price_list([item("A", "0.25")], "new")]

    made = index_items(lists, "USD")

    assert [offer.rate for offer in offers_for(part("1"), made)] == [2000, 2500]
    assert [finding.code for finding in made.findings] == ["ITEM_IN_TWO_LISTS"]


def test_the_same_list_twice_is_no_conflict() -> None:
    made = index_items([price_list([item("A", "0.20")])] * 2, "USD")

    assert made.findings == ()
    assert len(made.digests) == 2


@pytest.mark.parametrize(
    "broken", [item("A", "0.20001"), item("A", "0.20", "0.00001"), wire("A", "0.2", "100", 3)]
)
def test_an_item_with_more_than_four_decimals_is_a_bug(broken: Item) -> None:
    with pytest.raises(ValueError, match="four decimals"):
        index(broken)


def test_an_offer_keeps_the_exact_price_of_a_pack() -> None:
    (offer,) = offers_for(part("1"), index(item("A", "0.3333", "2.5")))

    assert Decimal(offer.price) / 10**8 == offer.item.pack_price == Decimal("0.83325")
    assert offer.item.attributes == BUSHING
