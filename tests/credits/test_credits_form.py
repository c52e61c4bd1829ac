"""The claim on the lines of the year's form."""

from datetime import date
from decimal import Decimal

import pytest
from credits_samples import answer, cost

from estimator.credits.records import CreditAnswer


def shown(result: CreditAnswer) -> dict[str, str]:
    return {line.line: line.amount for line in result.form_lines}


def test_a_battery_of_2024_is_laid_out_line_by_line() -> None:
    result = answer(tax_limit=Decimal(1800), carryforward_in=Decimal(100))

    assert shown(result) == {
        "5a": "yes",
        "5b": "10000.00",
        "6a": "10000.00",
        "6b": "3000.00",
        "11": "0.00",
        "12": "100.00",
        "13": "3100.00",
        "14": "1800.00",
        "15": "1800.00",
        "16": "1300.00",
    }
    assert any("inferred" in reason.text for reason in result.because)


def test_solar_and_battery_of_2025_stand_on_their_own_lines() -> None:
    # Published open-source tax form test, numbers only (Form 5695 of 2025).
    day = date(2025, 6, 30)

    result = answer(
        cost("other_clean_energy", "10000"),
        cost("battery_fixed", "2000"),
        completed_on=day,
        placed_in_service_on=day,
        nameplate_kwh=Decimal(3),
        usable_kwh=None,
        carryforward_in=Decimal(100),
        tax_limit=Decimal(2000),
    )

    lines = shown(result)
    assert (lines["1-4"], lines["5b"], lines["6b"]) == ("10000.00", "2000.00", "3600.00")
    assert (lines["13"], lines["15"], lines["16"]) == ("3700.00", "2000.00", "1700.00")


@pytest.mark.parametrize(
    ("year", "storage", "total", "rated"),
    [
        (2019, "1", "5", "6"),
        (2020, "1", "5", "6"),
        (2021, "1", "6a", "6b"),
        (2022, "1", "6a", "6b"),
    ],
)
def test_before_2023_a_battery_sits_on_the_solar_line(
    year: int, storage: str, total: str, rated: str
) -> None:
    day = date(year, 8, 1)

    result = answer(completed_on=day, placed_in_service_on=day, charged_only_by_onsite_solar=True)

    hopeful = {line.line: line.amount_if_uncertain for line in result.form_lines}
    assert hopeful[storage] == hopeful[total] == "10000.00"
    assert hopeful[rated] == str(result.if_allowed.tentative)
    assert shown(result)[rated] == "0.00"
    assert "5b" not in hopeful


def test_the_form_of_2026_carries_forward_only() -> None:
    day = date(2026, 2, 1)

    result = answer(
        completed_on=day,
        placed_in_service_on=day,
        carryforward_in=Decimal(2700),
        tax_limit=Decimal(2000),
    )

    assert shown(result) == {"1": "2700.00", "2": "2000.00", "3": "2000.00", "4": "700.00"}
    assert any("draft" in reason.text for reason in result.because)


def test_a_year_without_a_checked_form_shows_no_lines_and_says_so() -> None:
    day = date(2018, 8, 1)

    result = answer(completed_on=day, placed_in_service_on=day, charged_only_by_onsite_solar=True)

    assert result.form_lines == ()
    assert any("were not checked for this year" in reason.text for reason in result.because)


def test_without_a_tax_limit_the_lines_that_need_it_say_so() -> None:
    lines = shown(answer(tax_limit=None))

    assert lines["14"] == "not told"
    assert lines["15"] == lines["16"] == "not known without the tax limit"


@pytest.mark.parametrize(
    ("nameplate", "usable", "told"),
    [("3", None, "yes"), ("3.1", "2.8", "not known"), ("2.9", None, "")],
)
def test_the_capacity_box_follows_the_capacity(
    nameplate: str, usable: str | None, told: str
) -> None:
    result = answer(
        nameplate_kwh=Decimal(nameplate), usable_kwh=None if usable is None else Decimal(usable)
    )

    assert shown(result).get("5a", "") == told
