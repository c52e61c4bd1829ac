"""What a loan adds to each way, and the cost of an hour of outage."""

from decimal import Decimal

import pytest
from compare_factory import compare, cost_of, make_job, thirty_percent_of
from hypothesis import given
from hypothesis import strategies as st

from estimator.compare.loan import interest_of, monthly_payment
from estimator.money import ZERO

LOAN = {"amount": "2600.00", "annual_rate_percent": "9", "months": 24}


def test_the_payment_of_the_regulations_example() -> None:
    # 12 CFR 1026, Appendix J (c)(1)(i): 5000 paid back in 24 payments of 230 is 9.69 %.
    below, above = (
        monthly_payment(Decimal(5000), Decimal(rate), 24) for rate in ("9.685", "9.695")
    )

    assert below < 230 < above


def test_the_payments_pay_the_loan_back() -> None:
    amount, rate, months = Decimal("3712.50"), Decimal("11.4"), 18
    payment = monthly_payment(amount, rate, months)

    left = amount
    for _ in range(months):
        left = left * (1 + rate / 1200) - payment

    assert abs(left) < Decimal("1e-20")


def test_without_a_rate_nothing_is_added() -> None:
    job = make_job(comparison={"loan": {**LOAN, "annual_rate_percent": 0}})

    assert monthly_payment(Decimal(2600), ZERO, 26) == 100
    assert interest_of(job, Decimal(9999)) == ZERO
    assert {cost_of(way, "loan") for way in compare(job).values()} == {ZERO}


def test_interest_is_a_cost_of_each_way_and_never_more_is_borrowed_than_it_costs() -> None:
    ways = compare(make_job(comparison={"loan": LOAN}))

    # 2600 x 0.0075 / (1 - 1.0075^-24) = 118.78 a month; 24 of them less 2600 are 250.73.
    assert cost_of(ways["own"], "loan") == cost_of(ways["hire"], "loan") == Decimal("250.73")
    assert ways["own"].cash_cost == Decimal("2970.04") + Decimal("250.73")
    # Cords cost 2535.80, so only that is borrowed.
    assert cost_of(ways["cords_only"], "loan") == Decimal("244.54")
    (loan,) = [cost for cost in ways["cords_only"].costs if cost.what == "loan"]
    (reason,) = loan.because
    assert reason.source == "equal_payments"
    assert dict(reason.figures) == {
        "borrowed": "2535.8",
        "annual_rate_percent": "9",
        "months": "24",
        "monthly_payment": "115.85",
    }


def test_interest_shifts_the_range_and_brings_no_credit() -> None:
    programme = thirty_percent_of("battery_portable", "finance_charge")

    plain = compare(credit_of=programme)["own"]
    borrowed = compare(make_job(comparison={"loan": LOAN}), credit_of=programme)["own"]

    interest = Decimal("250.73")
    assert borrowed.credit == plain.credit
    assert [borrowed.low, borrowed.likely, borrowed.high, borrowed.whole_cost] == [
        one + interest for one in (plain.low, plain.likely, plain.high, plain.whole_cost)
    ]


def test_the_interest_counts_on_both_sides_of_a_quote() -> None:
    ways = compare(make_job(comparison={"loan": LOAN, "hire_quotes": ["1200.00"]}))

    (quote,) = ways["hire"].hire_quotes
    # 3650.00 and 2970.04 both borrow the whole 2600: the difference stays that without a loan.
    assert quote.interest == Decimal("250.73")
    assert quote.break_even_hour_value == Decimal("194.27")


@pytest.mark.parametrize("missing", ["annual_rate_percent", "months"])
def test_a_loan_without_its_terms_makes_each_way_incomplete(missing: str) -> None:
    loan = {name: value for name, value in LOAN.items() if name != missing}

    ways = compare(make_job(comparison={"loan": loan, "hire_quotes": ["1200.00"]}))

    for way in ways.values():
        assert way.not_known == ("a loan is told without its yearly rate or its months",)
        assert cost_of(way, "loan") == ZERO
    (quote,) = ways["hire"].hire_quotes
    assert (quote.interest, quote.break_even_hour_value) == (None, None)


def test_no_loan_is_no_cost_and_nothing_unknown() -> None:
    for way in compare().values():
        assert cost_of(way, "loan") == ZERO
        assert way.complete


@given(
    st.decimals("0.01", "100000", places=2),
    st.decimals("0", "40", places=2),
    st.decimals("0", "40", places=2),
    st.integers(1, 360),
)
def test_a_dearer_loan_never_costs_less(
    amount: Decimal, one: Decimal, other: Decimal, months: int
) -> None:
    less, more = sorted((one, other))

    cheap = monthly_payment(amount, less, months)

    assert cheap <= monthly_payment(amount, more, months) + Decimal("1e-15")
    assert cheap * months >= amount - Decimal("1e-15")


def test_an_hour_of_outage_is_the_cost_over_the_hours_of_all_years() -> None:
    told = {"outage_hours_per_year": "8", "years_of_use": 10}

    own = compare(make_job(comparison=told))["own"]

    # 2970.04 / 80 = 37.1255
    assert own.cost_per_outage_hour == Decimal("37.13")
    (reason,) = [one for one in own.because if "outage" in one.text]
    assert dict(reason.figures) == {"outage_hours_per_year": "8", "years_of_use": "10"}


def test_half_a_cent_goes_up() -> None:
    # 2970.10 / 4 = 742.525
    own = compare(make_job(supply={"price": "2450.06"}))["own"]

    assert own.cost_per_circuit == Decimal("742.53")


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({}, "the hours of outage in a year and the years of use"),
        ({"years_of_use": 10}, "the hours of outage in a year."),
        ({"outage_hours_per_year": "8"}, "the years of use."),
    ],
)
def test_an_hour_of_outage_is_not_worked_out_without_both(
    told: dict[str, object], words: str
) -> None:
    for way in compare(make_job(comparison=told)).values():
        assert way.cost_per_outage_hour is None
        (reason,) = [one for one in way.because if "outage hour" in one.text]
        assert words in reason.text
        assert reason.text.startswith("The cost of an outage hour is not worked out")
