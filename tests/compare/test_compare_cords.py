"""Only cords: which circuits they cannot feed, and what heavy loads ask for."""

from decimal import Decimal
from typing import Any

import pytest
from compare_factory import compare, cost_of, make_job

from estimator.compare.records import Way
from estimator.compare.tables import load_compare_tables
from estimator.money import ZERO


def cords_for(*circuits: dict[str, Any], **changes: Any) -> Way:
    told = [{"breaker_a": 20, "running_w": 100, **circuit} for circuit in circuits]
    terms = {"sales_tax_percent": 0}
    return compare(make_job(circuits=told, terms=terms, **changes))["cords_only"]


def left_out(way: Way) -> set[str]:
    return {note.circuit for note in way.leaves_out if note.circuit}


def test_a_two_pole_circuit_is_left_out() -> None:
    way = cords_for({"name": "Freezer"}, {"name": "Workshop", "poles": 2})

    assert left_out(way) == {"Workshop"}
    assert way.circuits == 1


@pytest.mark.parametrize(
    "name",
    ["Well pump", "Boiler and pumps", "FURNACE blower", "Kitchen lights", "Range hood", "Oven"],
)
def test_what_is_wired_in_by_its_name_is_left_out(name: str) -> None:
    assert left_out(cords_for({"name": name}, {"name": "Freezer"})) == {name}


@pytest.mark.parametrize(
    "name",
    ["Sump pump", "Microwave oven", "Space heater", "Refrigerator", "Window air conditioner"],
)
def test_what_has_a_plug_is_fed(name: str) -> None:
    assert left_out(cords_for({"name": name})) == set()


@pytest.mark.parametrize(
    ("watts", "price"),
    [("1560", "40"), ("1560.1", "70"), ("1800", "70"), ("1800.1", "130"), ("2400", "130")],
)
def test_a_heavier_load_asks_for_a_heavier_cord(watts: str, price: str) -> None:
    way = cords_for({"name": "Freezer", "breaker_a": 25, "running_w": watts})

    assert cost_of(way, "cords") == Decimal(price)


def test_more_than_the_heaviest_cord_carries_is_left_out_with_the_limit() -> None:
    way = cords_for({"name": "Kiln", "breaker_a": 30, "running_w": "2412"})

    assert left_out(way) == {"Kiln"}
    (text,) = [note.text for note in way.leaves_out if note.circuit]
    assert "20.1 A are more than the 20 A" in text


def test_nothing_to_plug_in_has_no_cost_for_each_circuit() -> None:
    way = cords_for({"name": "Workshop", "poles": 2})

    assert way.circuits == 0
    assert way.cost_per_circuit is None
    assert way.cash_cost == Decimal("2450.00")
    assert way.own_hours_value == ZERO


def test_a_supply_that_is_fixed_in_place_feeds_no_cords() -> None:
    way = cords_for({"name": "Freezer"}, supply={"kind": "battery", "portable": False})

    assert way.circuits == 0
    assert any("fixed in place" in note.text for note in way.leaves_out)


def test_a_generator_adds_its_own_note() -> None:
    way = cords_for({"name": "Freezer"}, supply={"kind": "generator"})

    assert any("outdoors" in note.text for note in way.leaves_out)


def test_no_permit_no_tools_no_labour() -> None:
    way = cords_for({"name": "Freezer"})

    assert {cost.what for cost in way.costs} == {"supply", "cords"}
    assert way.tools == ()


def test_the_smallest_cord_comes_first_and_each_range_is_in_order() -> None:
    tables = load_compare_tables()

    limits = [row.up_to_a for row in tables.cords]
    assert limits == sorted(limits)
    for row in (*tables.cords, *tables.three_points.values()):
        assert row.low <= row.likely <= row.high
