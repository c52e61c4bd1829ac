"""Prices that are out of line with their neighbours, such as per hundred for per each."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

import pytest
from catalogue_factory import item, price_list
from conftest import ROOT, sample_lists

from estimator.catalogue.match import index_items
from estimator.catalogue.out_of_line import out_of_line
from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.records import Item, PriceList
from estimator.finding import Finding
from estimator.takeoff.part_kinds import load_part_kinds

OTHER = ROOT / "catalog_samples" / "price_lists_other"


def read(name: str) -> PriceList:
    path = OTHER / name
    return read_price_list(path.read_bytes(), path.name, load_part_kinds())


def found(items: Sequence[Item]) -> list[Finding]:
    return out_of_line([price_list(items)], "USD")


def wire(number: str, price: str, size: str = "10 AWG", colour: str = "black") -> Item:
    attributes = (
        ("size", size), ("material", "cu"), ("insulation", "THHN/THWN-2"), ("colour", colour)
    )  # fmt: skip
    return item(number, price, kind="conductor", attributes=attributes)


def locknut(number: str, price: str, size: str, style: str = "steel") -> Item:
    return item(number, price, kind="locknut", attributes=(("trade_size", size), ("style", style)))


def test_a_list_with_one_price_off_by_a_hundred_is_flagged_with_row_and_factor() -> None:
    price_list = read("one_slip_by_a_hundred.csv")

    (finding,) = out_of_line([price_list], "USD")

    (slip,) = [one for one in price_list.items if one.number == "HS-0084"]
    assert finding.code == "PRICE_OUT_OF_LINE"
    assert finding.severity == "warning"
    assert f"row {slip.row}, item HS-0084" in finding.message
    assert "about 100 times as much as" in finding.message
    assert finding.message.count("row ") == 1


def test_the_sample_lists_raise_no_false_alarm() -> None:
    lists = [read_price_list(p.read_bytes(), p.name, load_part_kinds()) for p in sample_lists()]

    for group in ([one] for one in lists):
        assert out_of_line(group, "USD") == []
    assert out_of_line(lists, "USD") == []
    assert out_of_line([*lists, read("descriptions_only.csv")], "USD") == []


@pytest.mark.parametrize(
    ("factor", "told"), [("100", "100 times as much"), ("0.01", "100 times less"),
                         ("1000", "1,000 times as much"), ("0.001", "1,000 times less")],
)  # fmt: skip
def test_nearly_every_slip_in_a_sample_list_is_flagged(factor: str, told: str) -> None:
    path = next(path for path in sample_lists() if path.stem == "wholesale_c_and_m")
    price_list = read_price_list(path.read_bytes(), path.name, load_part_kinds())
    tried = price_list.items[::7]

    flagged = 0
    for slipped in tried:
        changed = replace(slipped, unit_price=slipped.unit_price * Decimal(factor))
        items = tuple(changed if one is slipped else one for one in price_list.items)
        findings = out_of_line([replace(price_list, items=items)], "USD")
        flagged += any(f"item {slipped.number} " in one.message for one in findings)

    # The others have no neighbour in the list that they could be compared with.
    assert flagged >= len(tried) * 9 // 10


@pytest.mark.parametrize(("price", "flagged"), [("2.35", False), ("2.40", True), ("0.06", True)])
def test_the_limit_for_the_same_goods_is_six_times(price: str, flagged: bool) -> None:
    colours = ("red", "blue", "white")
    others = [wire(f"N-{n}", "0.40", colour=colour) for n, colour in enumerate(colours)]
    same = [wire("N-7", "0.40"), wire("N-8", "0.40"), wire("N-9", "0.40")]

    findings = found([*same, *others, wire("X-1", price)])

    assert bool(findings) is flagged
    assert not flagged or "item X-1" in findings[0].message


def test_another_suppliers_price_of_the_same_goods_counts_and_sizes_tell_whose_is_wrong() -> None:
    sizes = [locknut("N-1", "0.28", "1/2"), locknut("N-2", "0.59", "1")]
    right, wrong = locknut("R-1", "0.39", "3/4"), locknut("W-1", "39.00", "3/4")

    findings = out_of_line([price_list([*sizes, right]), price_list([wrong], "other.csv")], "USD")

    (finding,) = findings
    assert finding.message.startswith("other.csv")
    assert "item W-1" in finding.message


def test_where_two_prices_disagree_and_nothing_else_tells_both_are_named() -> None:
    pair = [locknut("A-1", "0.39", "3/4"), locknut("B-1", "39.00", "3/4")]
    pair = [replace(one, currency="CAD") for one in pair]

    (finding,) = out_of_line([price_list(pair)], "CAD")

    assert "item A-1" in finding.message
    assert "item B-1" in finding.message


def test_white_and_green_wire_cost_what_other_colours_do() -> None:
    (finding,) = found(
        [
            wire("W-1", "0.393"), wire("W-2", "0.393", colour="red"),
            wire("W-3", "3.96", colour="white"), wire("W-4", "0.396", colour="green"),
        ]
    )  # fmt: skip

    assert "item W-3" in finding.message
    assert "about 10 times as much as" in finding.message
    assert finding.message.count("row ") == 1


def test_another_consumable_of_the_same_content_is_no_neighbour() -> None:
    def piece(number: str, price: str, consumable: str, content: str = "1 piece") -> Item:
        attributes = (("consumable", consumable), ("content", content))
        return item(number, price, kind="consumable", attributes=attributes, currency="CAD")

    ties = [piece("T-1", "0.05", "cable tie"), piece("T-2", "0.06", "stud tie")]
    bags = [piece("B-1", "9.00", "vacuum bag"), piece("B-5", "40.00", "vacuum bag", "5 pieces")]

    assert out_of_line([price_list([*ties, *bags])], "CAD") == []
    (finding,) = out_of_line([price_list([*ties, *bags, piece("T-3", "5.00", "stud tie")])], "CAD")
    assert "item T-3" in finding.message
    assert "item B-1" not in finding.message


def test_neighbours_of_a_slip_are_not_named_with_it() -> None:
    items = [
        locknut("N-1", "0.28", "1/2"),
        locknut("X-1", "39.00", "3/4"),
        locknut("N-2", "0.59", "1"),
    ]

    (finding,) = found(items)

    assert "item X-1" in finding.message
    assert "N-1" not in finding.message
    assert "N-2" not in finding.message


def test_far_sizes_and_goods_without_neighbours_are_not_compared() -> None:
    assert found([wire("A-1", "0.16", "14 AWG"), wire("B-1", "9.00", "4/0 AWG")]) == []
    assert found([locknut("A-1", "0.28", "1/2")]) == []


def test_singles_and_boxes_of_one_item_are_in_line() -> None:
    single = item("A-1", "0.4275")
    box = item("A-2", "0.2475", "100")

    assert found([single, box]) == []


def test_other_currencies_are_not_compared() -> None:
    dear = replace(locknut("B-1", "39.00", "3/4"), currency="CAD")

    assert found([locknut("A-1", "0.39", "3/4"), dear]) == []


def test_at_most_five_rows_are_named() -> None:
    usual = [wire(f"N-{n}", "0.40") for n in range(20)]
    slips = [wire(f"X-{n}", "40.00") for n in range(7)]

    (finding,) = found([*usual, *slips])

    assert finding.message.count("row ") == 5
    assert "and 2 more" in finding.message


def test_the_finding_reaches_the_index_that_estimates_use() -> None:
    lists = [read("one_slip_by_a_hundred.csv")]

    codes = [finding.code for finding in index_items(lists, "USD").findings]

    assert "PRICE_OUT_OF_LINE" in codes


def test_a_long_list_of_like_goods_is_compared_quickly() -> None:
    items = [locknut(f"N-{n}", "0.39", "3/4") for n in range(3_000)]
    items += [locknut(f"M-{n}", "0.39", str(n + 1)) for n in range(3_000)]

    assert found(items) == []
