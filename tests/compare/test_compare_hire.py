"""Hiring, and what is said when a cost is not known."""

from decimal import Decimal

import pytest
from compare_factory import compare, cost_of, make_estimated, make_job, make_take_off

from estimator.finding import Finding
from estimator.money import ZERO


def test_a_job_of_own_work_is_priced_as_a_contractor_would() -> None:
    job = make_job(labour={"skill": "own"})

    ways = compare(job, hired=make_estimated(make_job()))

    assert cost_of(ways["hire"], "labour") == Decimal("412.50")
    assert ways["hire"].cash_cost == Decimal("3435.07")
    assert ways["own"].cash_cost == Decimal("2970.04")


def test_labour_ranges_with_its_hours() -> None:
    (labour,) = [cost for cost in compare()["hire"].costs if cost.what == "labour"]

    # 2.10 h, 3.75 h and 7.50 h for 412.50.
    assert labour.low == Decimal("231.00")
    assert labour.high == Decimal("825.00")


def test_hiring_that_costs_no_more_has_a_break_even_below_zero_and_says_so() -> None:
    cheap = {"hourly_rate": "1.00"}
    terms = {"markup_percent": 0, "overhead_percent": 0, "sales_tax_percent": 0}

    own = compare(make_job(labour=cheap, terms=terms))["own"]

    assert own.break_even_hour_value is not None
    assert own.break_even_hour_value < 0
    assert any("whatever an own hour is worth" in reason.text for reason in own.because)


def test_no_own_hours_have_no_break_even() -> None:
    ways = compare(make_job(comparison={"hire_quotes": ["900.00"]}), make_take_off(labour=()))

    assert ways["own"].break_even_hour_value is None
    assert ways["hire"].hire_quotes[0].break_even_hour_value is None
    assert ways["own"].own_hours_value == ZERO


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"supply": {"price": None}}, "the price of the supply is not told"),
        ({"terms": {"permit_fee": None}}, "the permit fee is not told"),
    ],
)
def test_what_is_not_told_makes_a_way_incomplete(changes: dict[str, object], words: str) -> None:
    ways = compare(make_job(**changes))

    for name in ("own", "hire"):
        assert words in ways[name].not_known
        assert not ways[name].complete


def test_without_a_price_of_the_supply_only_the_work_is_compared() -> None:
    hire = compare(make_job(supply={"price": None}))["hire"]

    assert hire.supply_cost is None
    assert hire.cash_cost == Decimal("985.07")


def test_what_could_not_be_taken_off_makes_a_way_incomplete() -> None:
    error = Finding("error", "NOT_TAKEN_OFF", "No.", "/runs/0", "own_convention", "Change it.")

    ways = compare(taken=make_take_off(findings=(error,)))

    assert any("could not be taken off" in text for text in ways["own"].not_known)
    assert ways["cords_only"].complete


def test_an_unknown_life_of_the_battery_gives_no_cost_of_a_kwh() -> None:
    ways = compare(lifetime_kwh=None)

    assert {way.cost_per_kwh for way in ways.values()} == {None}
