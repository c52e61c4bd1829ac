"""The cost of labour by charged rate, by wage and burden, and for own hours."""

from decimal import Decimal

import pytest
from pricing_factory import job

from estimator.pricing.labour_cost import LabourCost, labour_cost


def cost(hours: str, **labour: object) -> LabourCost:
    return labour_cost(Decimal(hours), job(labour=labour).labour)


@pytest.mark.parametrize(
    ("hours", "printed", "amount"),
    [
        ("7.124", "7.12", "676.40"),
        ("7.125", "7.13", "677.35"),
        ("7.126", "7.13", "677.35"),
        ("0", "0.00", "0.00"),
    ],
)
def test_hours_are_rounded_before_they_are_multiplied(
    hours: str, printed: str, amount: str
) -> None:
    found = cost(hours, hourly_rate=Decimal("95.00"))

    assert (str(found.hours), found.cost) == (printed, Decimal(amount))
    assert any("rounded to two places before" in reason.text for reason in found.because)


@pytest.mark.parametrize(
    ("wage", "burden", "rate"),
    [("34.00", "35", "45.9000"), ("33.33", "33.33", "44.4389"), ("30.00", "0", "30.0000")],
)
def test_wage_and_burden_make_a_rate_of_four_places(wage: str, burden: str, rate: str) -> None:
    found = cost("1", hourly_rate=None, wage=Decimal(wage), burden_percent=Decimal(burden))

    assert str(found.rate) == rate
    assert found.bears_profit


def test_a_charged_rate_says_that_profit_is_in_it() -> None:
    found = cost("1", hourly_rate=Decimal("95.00"))

    assert not found.bears_profit
    assert "profit is in it already" in found.because[0].text


def test_own_hours_are_counted_but_not_paid() -> None:
    found = cost("12.5", skill="own", hourly_rate=Decimal("95.00"))

    assert (str(found.hours), found.rate, found.cost) == ("12.50", 0, 0)
    assert "Own hours are not paid" in found.because[0].text
    assert not found.bears_profit


def test_an_unknown_rate_is_told() -> None:
    found = cost("3", hourly_rate=None, wage=None)

    (finding,) = found.findings
    assert (finding.severity, finding.code) == ("warning", "LABOUR_RATE_UNKNOWN")
    assert found.cost == 0
