"""Each way of a small job, worked out by hand."""

from decimal import Decimal

import pytest
from compare_factory import compare, cost_of, make_job

from estimator.compare.records import Way
from estimator.money import ZERO


@pytest.fixture(scope="module")
def ways() -> dict[str, Way]:
    return compare(make_job(comparison={"hire_quotes": ["1200.00"]}))


def test_own_work_pays_retail_tools_permit_and_tax(ways: dict[str, Way]) -> None:
    own = ways["own"]

    # 300.00 + 50 ft x 0.6125 = 330.63; 7.25 % of it is 23.97.
    assert cost_of(own, "materials") == Decimal("354.60")
    # The drill and the fish tape are rented, 25 + 15; the tester is bought, 35; tax 5.44.
    assert cost_of(own, "tools") == Decimal("80.44")
    assert cost_of(own, "permit") == Decimal("85.00")
    assert cost_of(own, "supply") == Decimal("2450.00")
    assert cost_of(own, "labour") == ZERO
    assert own.cash_cost == Decimal("2970.04")


def test_own_hours_leave_out_work_for_a_customer_and_stretch_what_is_learned(
    ways: dict[str, Way],
) -> None:
    own = ways["own"]

    # 1.00 h x 2.5 and 1 h of waiting; low 0.80 x 1.8 + 0.5; high 1.50 x 4 + 2.5.
    assert (own.hours_low, own.hours, own.hours_high) == (
        Decimal("1.94"),
        Decimal("3.50"),
        Decimal("8.50"),
    )
    assert own.own_hours_value == Decimal("70.00")
    assert own.whole_cost == Decimal("3040.04")


def test_hiring_pays_the_price_of_the_estimate_and_the_supply(ways: dict[str, Way]) -> None:
    hire = ways["hire"]

    # Materials 330.63 + 33.06 + 90.92 = 454.61 and 32.96 tax; 3.75 h x 100 + 10 % overhead.
    assert cost_of(hire, "materials") == Decimal("487.57")
    assert cost_of(hire, "labour") == Decimal("412.50")
    assert hire.cash_cost == Decimal("3435.07")
    assert hire.hours == Decimal("3.75")
    assert hire.own_hours_value == ZERO


def test_the_hour_value_at_which_both_cost_the_same(ways: dict[str, Way]) -> None:
    # (3435.07 - 2970.04) / 3.50
    assert ways["own"].break_even_hour_value == Decimal("132.87")


def test_a_quote_of_others_stands_beside_with_its_own_break_even(ways: dict[str, Way]) -> None:
    (quote,) = ways["hire"].hire_quotes

    assert quote.with_supply == Decimal("3650.00")
    # (3650.00 - 2970.04) / 3.50
    assert quote.break_even_hour_value == Decimal("194.27")


def test_cords_feed_what_has_a_plug(ways: dict[str, Way]) -> None:
    cords = ways["cords_only"]

    # Two cords at 40, tax 5.80; the well is two-pole and the furnace wired in.
    assert cost_of(cords, "cords") == Decimal("85.80")
    assert cords.cash_cost == Decimal("2535.80")
    assert cords.circuits == 2
    assert cords.hours == Decimal("0.4")
    assert cords.own_hours_value == Decimal("8.00")


def test_costs_for_each_circuit_and_kwh_over_the_life_of_the_battery(ways: dict[str, Way]) -> None:
    own, cords = ways["own"], ways["cords_only"]

    # 2970.04 / 4, 2970.04 / 15000, 2535.80 / 2
    assert own.cost_per_circuit == Decimal("742.51")
    assert own.cost_per_kwh == Decimal("0.1980")
    assert cords.cost_per_circuit == Decimal("1267.90")


@pytest.mark.parametrize("name", ["own", "hire", "cords_only"])
def test_nothing_missing_is_complete_and_each_way_says_why(ways: dict[str, Way], name: str) -> None:
    way = ways[name]

    assert way.complete
    assert way.because
    assert all(cost.because for cost in way.costs)
    assert way.leaves_out
    assert way.may_be_forbidden
    assert way.cost_per_outage_hour is None
