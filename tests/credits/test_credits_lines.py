"""The verdict on each cost, and what is kept apart from the base."""

from datetime import date
from decimal import Decimal

import pytest
from credits_samples import BATTERY, answer, cost

from estimator.credits.records import CreditLine
from estimator.credits.rules_file import load_credit_rules
from estimator.published.sources import load_sources
from estimator.takeoff.part_kinds import load_part_kinds

PORTABLE = {"supply_kind": "power_station", "portable": True, "permanently_wired": False}


def verdict(line: CreditLine) -> tuple[str, str]:
    return line.status, line.reason_code


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("battery_integral_inverter", ("eligible", "COST_COUNTS")),
        ("labour_install", ("eligible", "COST_COUNTS")),
        ("wiring_interconnect", ("eligible", "COST_COUNTS")),
        ("anchors_mounting", ("eligible", "COST_COUNTS")),
        ("sales_tax", ("eligible", "COST_COUNTS")),
        ("labour_transfer", ("uncertain", "COST_LINE_UNCERTAIN")),
        ("transfer_switch", ("uncertain", "COST_LINE_UNCERTAIN")),
        ("inlet_box", ("uncertain", "COST_LINE_UNCERTAIN")),
        ("cord_set", ("uncertain", "COST_LINE_UNCERTAIN")),
        ("permit_inspection", ("uncertain", "COST_LINE_UNCERTAIN")),
        ("structure_work", ("uncertain", "COST_LINE_UNCERTAIN")),
        ("shared_wiring_generator_and_battery", ("uncertain", "ALLOCATION_NEEDED")),
        ("tools", ("not_eligible", "COST_OUTSIDE")),
        ("own_labour", ("not_eligible", "COST_OUTSIDE")),
        ("finance_charge", ("not_eligible", "COST_OUTSIDE")),
        ("generator_fuel", ("not_eligible", "GENERATOR")),
        ("something_new", ("uncertain", "COST_LINE_UNCERTAIN")),
    ],
)
def test_a_cost_beside_a_sure_battery_has_its_own_verdict(
    code: str, expected: tuple[str, str]
) -> None:
    result = answer(BATTERY, cost(code, "100"))

    assert verdict(result.lines[1]) == expected
    assert result.status == "eligible"
    counted = expected[0] == "eligible"
    assert result.base == (10100 if counted else 10000)
    assert result.if_allowed.base == result.base
    assert result.if_everything.base == (10000 if expected[0] == "not_eligible" else 10100)


@pytest.mark.parametrize(
    "code", ["wiring_interconnect", "labour_install", "anchors_mounting", "sales_tax"]
)
def test_what_connects_a_portable_unit_is_as_uncertain_as_the_unit(code: str) -> None:
    result = answer(cost("battery_portable", "2450"), cost(code, "300"), **PORTABLE)

    assert verdict(result.lines[1]) == ("uncertain", "PORTABLE")
    assert result.lines[1].in_base
    assert result.base == 0
    assert result.if_allowed.base == 2750


def test_transfer_equipment_of_a_portable_unit_stays_out_even_if_the_unit_is_allowed() -> None:
    result = answer(
        cost("battery_portable", "2450"),
        cost("transfer_switch", "600"),
        cost("inlet_box", "80"),
        cost("tools", "40"),
        **PORTABLE,
    )

    assert [line.in_base for line in result.lines] == [True, False, False, False]
    assert (result.if_allowed.base, result.if_everything.base) == (2450, 3130)
    assert result.amount_if_uncertain == Decimal("939.00")


def test_what_connects_a_unit_that_is_too_small_falls_with_it() -> None:
    result = answer(
        cost("battery_portable", "900"),
        cost("wiring_interconnect", "300"),
        cost("transfer_switch", "600"),
        nameplate_kwh=Decimal("2.9"),
        **PORTABLE,
    )

    assert [verdict(line) for line in result.lines] == [("not_eligible", "CAPACITY_LT_3")] * 3
    assert result.amount_if_uncertain == 0


def test_what_connects_a_generator_falls_with_it() -> None:
    result = answer(
        cost("generator_fuel", "900"), cost("wiring_interconnect", "300"), supply_kind="generator"
    )

    assert [line.status for line in result.lines] == ["not_eligible"] * 2
    assert result.lines[1].reason_code == "GENERATOR"


@pytest.mark.parametrize(
    ("code", "reason"), [("battery_used", "USED"), ("battery_leased", "NOT_OWNER")]
)
def test_a_used_or_leased_battery_falls_with_all_that_connects_it(code: str, reason: str) -> None:
    result = answer(cost(code, "4000"), cost("labour_install", "500"))

    assert (result.status, result.reason_codes) == ("not_eligible", (reason,))
    assert result.lines[1].reason_code == reason


def test_other_property_stands_without_the_battery() -> None:
    result = answer(
        cost("other_clean_energy", "8000"),
        cost("battery_portable", "900"),
        nameplate_kwh=Decimal(2),
        **PORTABLE,
    )

    assert result.status == "eligible"
    assert [line.status for line in result.lines] == ["eligible", "not_eligible"]
    assert result.base == 8000


@pytest.mark.parametrize(
    ("taxed", "status"),
    [
        ("wiring_interconnect", "eligible"),
        ("transfer_switch", "uncertain"),
        ("tools", "not_eligible"),
    ],
)
def test_sales_tax_goes_with_the_cost_it_was_charged_on(taxed: str, status: str) -> None:
    result = answer(BATTERY, cost("sales_tax", "7.25", on=taxed))

    assert result.lines[1].status == status
    assert result.lines[1].cost.startswith("Sales tax on: ")


def test_costs_without_a_price_make_the_base_incomplete_and_are_said() -> None:
    result = answer(BATTERY, cost("wiring_interconnect", "0", priced=False))

    assert result.lines[1].cost.endswith("(no price yet)")
    assert any("base is incomplete" in reason.text for reason in result.because)
    assert any(question.startswith("Price the parts") for question in result.questions)


def test_every_cost_code_of_the_parts_is_known_to_the_rules() -> None:
    used = {kind.cost_code for kind in load_part_kinds().values()}

    assert used <= set(load_credit_rules().costs)


def test_every_line_says_why_with_a_known_source_and_an_authority() -> None:
    codes = [code for code in load_credit_rules().costs if not code.startswith("battery_")]

    for day in (date(2021, 5, 1), date(2024, 5, 1), date(2026, 5, 1)):
        result = answer(
            BATTERY, *(cost(code, "10") for code in codes), completed_on=day,
            placed_in_service_on=day,
        )  # fmt: skip

        for line in result.lines:
            assert line.authority, line
            assert line.because, line
            assert all(reason.source in load_sources() for reason in line.because), line
        assert result.caution.startswith("An estimate")


def test_a_refused_cost_is_never_in_the_base() -> None:
    result = answer(BATTERY, cost("tools", "40"), residence="landlord")

    assert [line.in_base for line in result.lines] == [False, False]


def test_wiring_of_property_that_is_open_is_as_open_as_it() -> None:
    result = answer(
        cost("portable_solar_panel", "900"), cost("wiring_interconnect", "500"), supply_kind="none"
    )

    assert (result.status, result.reason_codes) == ("uncertain", ("COST_LINE_UNCERTAIN",))
    assert verdict(result.lines[1]) == ("uncertain", "COST_LINE_UNCERTAIN")
    assert (result.base, result.amount_if_uncertain) == (0, 420)


def test_wiring_of_other_property_stands_with_it() -> None:
    result = answer(
        cost("other_clean_energy", "900"), cost("wiring_interconnect", "500"), supply_kind="none"
    )

    assert (result.status, result.base) == ("eligible", 1400)


def test_wiring_without_any_property_has_nothing_to_connect() -> None:
    result = answer(cost("wiring_interconnect", "300"), supply_kind="none")

    assert (result.status, result.reason_codes) == ("not_eligible", ("NO_PROPERTY",))
    assert verdict(result.lines[0]) == ("not_eligible", "NO_PROPERTY")
    assert result.amount_if_uncertain == 0
