"""Facts for programmes are read strictly, all faults at once."""

from datetime import date
from decimal import Decimal

import pytest
from credits_programmes import RATE, programme

from estimator.credits.programme_facts import read_told, told_amount, told_to
from estimator.finding import InputRefused

ONE = programme(
    RATE.replace("value", 'class = "equity"\nvalue'), location_flag='"in_town"', code='"town"'
)


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("household_income", "64000.50", Decimal("64000.50")),
        ("percent_of_area_median", " 80 ", Decimal(80)),
        ("tax_limit", "0", Decimal(0)),
        ("other_improvement_credits", "999999999.9999", Decimal("999999999.9999")),
        ("heat_pump_cost", "1", Decimal(1)),
        ("applied_on", "2025-02-28", date(2025, 2, 28)),
        ("has_solar", "yes", True),
        ("approved_before_start", "no", False),
        ("funds_reserved", "yes", True),
        ("in_town", "no", False),
        ("customer_class", "equity", "equity"),
        ("town.in_town", "yes", True),
    ],
)
def test_a_fact_is_kept_by_its_kind(name: str, text: str, value: object) -> None:
    assert read_told([(name, text)], (ONE,)) == {name: value}


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        (
            "household_income",
            "-1",
            "'-1' is not an amount; give one such as 64000 or 64000.50, not below zero",
        ),
        ("household_income", "1e5", "'1e5' is not an amount"),
        ("household_income", "1234567890", "'1234567890' is not an amount"),
        ("household_income", "1.00000", "'1.00000' is not an amount"),
        ("household_income", "\u0661", "is not an amount"),
        ("applied_on", "2025-02-30", "'2025-02-30' is not a day; give one such as 2025-10-01"),
        ("has_solar", "true", "'true' is neither yes nor no"),
        ("in_town", "", "'' is neither yes nor no"),
        ("customer_class", "rich", "no programme has a class 'rich'; equity"),
        (
            "luck",
            "yes",
            "nobody asks for this fact; the facts are applied_on, approved_before_start, "
            "customer_class, funds_reserved, has_solar, heat_pump_cost, household_income, "
            "in_town, other_improvement_credits, percent_of_area_median, tax_limit",
        ),
        ("city.in_town", "yes", "no programme has the code 'city'; there is town"),
        ("town.luck", "yes", "nobody asks for this fact"),
    ],
)
def test_a_fact_that_cannot_stand_is_refused(name: str, text: str, told: str) -> None:
    with pytest.raises(InputRefused) as caught:
        read_told([(name, text)], (ONE,))

    (fault,) = caught.value.faults
    assert caught.value.what == "programme facts"
    assert fault.where == name
    assert told in fault.message


def test_all_faults_are_told_and_nothing_may_be_told_twice() -> None:
    pairs = [("has_solar", "yes"), ("has_solar", "no"), ("luck", "1"), ("in_town", "yes")]

    with pytest.raises(InputRefused) as caught:
        read_told(pairs, ())

    told = [(fault.where, fault.message.partition(";")[0]) for fault in caught.value.faults]
    assert told == [
        ("has_solar", "is told twice"),
        ("luck", "nobody asks for this fact"),
        ("in_town", "nobody asks for this fact"),
    ]


def test_without_programmes_no_class_and_no_code_is_known() -> None:
    with pytest.raises(InputRefused) as caught:
        read_told([("customer_class", "x"), ("a.b", "x")], ())

    first, second = caught.value.faults
    assert first.message == "no programme has a class 'x'; none"
    assert second.message == "no programme has the code 'a'; there is none"


def test_a_fact_told_to_one_programme_comes_before_the_one_told_to_all() -> None:
    told = {"tax_limit": Decimal(1), "town.tax_limit": Decimal(2)}

    assert told_to(ONE, told, "tax_limit") == 2
    assert told_to(programme(), told, "tax_limit") == 1
    assert told_to(ONE, told, "has_solar") is None
    assert told_amount(told, "tax_limit") == 1
    assert told_amount({"tax_limit": True}, "tax_limit") is None
    assert told_amount({}, "tax_limit") is None
