"""At, just under and just over each limit of the federal residential credit."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from credits_samples import TODAY, answer, cost, facts

from estimator.credits.assess import assess_credits
from estimator.credits.rules_file import load_credit_rules
from estimator.published.dated import RuleGap

SOLAR = cost("other_clean_energy", "10000.00")


@pytest.mark.parametrize(
    ("completed", "status", "codes"),
    [
        (date(2022, 12, 31), "not_eligible", ("BEFORE_2023_STANDALONE",)),
        (date(2023, 1, 1), "eligible", ()),
        (date(2025, 12, 31), "eligible", ()),
        (date(2026, 1, 1), "not_eligible", ("ENDED_25D",)),
        (date(2005, 12, 31), "not_eligible", ("BEFORE_PROGRAMME", "BEFORE_2023_STANDALONE")),
    ],
)
def test_a_battery_by_itself_counts_from_2023_to_2025(
    completed: date, status: str, codes: tuple[str, ...]
) -> None:
    result = answer(completed_on=completed, placed_in_service_on=completed)

    assert (result.status, result.reason_codes) == (status, codes)
    assert result.tax_year == completed.year


@pytest.mark.parametrize(
    ("in_service", "rate"),
    [
        (date(2005, 12, 31), "0"),
        (date(2006, 1, 1), "0.30"),
        (date(2019, 12, 31), "0.30"),
        (date(2020, 1, 1), "0.26"),
        (date(2021, 12, 31), "0.26"),
        (date(2022, 1, 1), "0.30"),
        (date(2025, 12, 31), "0.30"),
        (date(2026, 1, 1), "0"),
    ],
)
def test_the_rate_is_that_of_the_day_of_placing_in_service(in_service: date, rate: str) -> None:
    result = answer(
        SOLAR, supply_kind="none", completed_on=in_service, placed_in_service_on=in_service
    )

    assert result.rate == Decimal(rate)


def test_completed_in_one_year_and_in_service_in_the_next_takes_the_rate_of_the_next() -> None:
    result = answer(
        SOLAR,
        supply_kind="none",
        completed_on=date(2019, 12, 30),
        placed_in_service_on=date(2020, 1, 4),
    )

    assert (result.tax_year, result.rate) == (2019, Decimal("0.26"))


@pytest.mark.parametrize(
    ("nameplate", "usable", "status", "codes"),
    [
        ("2.99", None, "not_eligible", ("CAPACITY_LT_3",)),
        ("3", None, "eligible", ()),
        ("3.01", "3.00", "eligible", ()),
        ("3.01", "2.99", "uncertain", ("CAPACITY_UNKNOWN",)),
        (None, "3.00", "eligible", ()),
        (None, "2.99", "uncertain", ("CAPACITY_UNKNOWN",)),
        (None, None, "uncertain", ("CAPACITY_UNKNOWN",)),
    ],
)
def test_three_kilowatt_hours_are_asked_for(
    nameplate: str | None, usable: str | None, status: str, codes: tuple[str, ...]
) -> None:
    result = answer(
        nameplate_kwh=None if nameplate is None else Decimal(nameplate),
        usable_kwh=None if usable is None else Decimal(usable),
    )

    assert (result.status, result.reason_codes) == (status, codes)


def test_a_small_battery_before_2023_is_not_measured_against_a_rule_of_2023() -> None:
    day = date(2021, 6, 1)

    result = answer(
        cost("battery_portable_small", "1000"),
        completed_on=day,
        placed_in_service_on=day,
        nameplate_kwh=Decimal(2),
        charged_only_by_onsite_solar=True,
    )

    assert result.reason_codes == ("BEFORE_2023_SOLAR_ONLY",)


@pytest.mark.parametrize(
    ("share", "base"),
    [("1", "10000.00"), ("0.80", "10000.00"), ("0.7999", "7999.00"), ("0.50", "5000.00")],
)
def test_the_whole_base_counts_from_a_nonbusiness_share_of_eight_tenths(
    share: str, base: str
) -> None:
    result = answer(nonbusiness_share=Decimal(share))

    assert result.base == Decimal(base)


def test_a_purely_business_use_gives_nothing() -> None:
    result = answer(nonbusiness_share=Decimal(0))

    assert (result.status, result.reason_codes) == ("not_eligible", ("BUSINESS_ONLY",))


@pytest.mark.parametrize(
    ("limit", "amount", "carried"),
    [
        ("3000.00", "3000.00", "0.00"),
        ("2999.99", "2999.99", "0.01"),
        ("3000.01", "3000.00", "0.00"),
        ("0", "0.00", "3000.00"),
    ],
)
def test_the_credit_stops_at_the_tax_and_the_rest_is_carried_on(
    limit: str, amount: str, carried: str
) -> None:
    result = answer(tax_limit=Decimal(limit))

    assert (result.amount, result.carryforward) == (Decimal(amount), Decimal(carried))


def test_without_a_tax_limit_the_amount_is_the_tentative_credit_and_the_limit_is_asked_for() -> (
    None
):
    result = answer(tax_limit=None)

    assert result.amount == result.tentative == Decimal("3000.00")
    assert result.carryforward is None
    assert any("How much tax is left" in question for question in result.questions)


@pytest.mark.parametrize(
    ("year", "tentative"), [(2006, "2000"), (2008, "2000"), (2009, "6000.00"), (2016, "6000.00")]
)
def test_solar_property_was_capped_until_2008(year: int, tentative: str) -> None:
    day = date(year, 12, 31)

    result = answer(
        cost("battery_fixed", "20000"),
        completed_on=day,
        placed_in_service_on=day,
        charged_only_by_onsite_solar=True,
    )

    assert result.status == "uncertain"
    assert result.if_allowed.tentative == Decimal(tentative)


def test_a_carry_forward_is_used_in_2026_although_the_battery_of_2026_gets_nothing() -> None:
    day = date(2026, 3, 1)

    result = answer(
        completed_on=day,
        placed_in_service_on=day,
        carryforward_in=Decimal(2700),
        tax_limit=Decimal(2000),
    )

    assert (result.status, result.reason_codes, result.base) == ("not_eligible", ("ENDED_25D",), 0)
    assert (result.amount, result.carryforward) == (2000, 700)
    assert result.because[0].source == "pl_119_21_70506"


def test_a_job_of_2026_gives_zero_and_says_why() -> None:
    day = date(2026, 3, 1)

    result = answer(completed_on=day, placed_in_service_on=day, paid_on=date(2025, 12, 1))

    assert result.amount == result.amount_if_uncertain == result.rate == 0
    assert "ended" in result.because[0].text
    assert "2025-12-31" in result.because[0].text
    assert result.evidence == result.questions == result.form_lines == ()
    assert {line.reason_code for line in result.lines} == {"ENDED_25D"}


@pytest.mark.parametrize(("year", "status"), [(2026, "eligible"), (2027, "uncertain")])
def test_a_carry_forward_beyond_the_checked_years_is_uncertain(year: int, status: str) -> None:
    (result,) = assess_credits(
        facts(
            supply_kind="none",
            completed_on=None,
            claim_year=year,
            carryforward_in=Decimal(500),
            tax_limit=Decimal(400),
        ),
        (),
        load_credit_rules(),
        TODAY,
    )

    assert result.status == status
    assert result.amount == (400 if status == "eligible" else 0)
    assert (result.amount_if_uncertain, result.if_allowed.carryforward) == (400, 100)


def test_a_year_beyond_the_checked_ones_says_so() -> None:
    day = date(2031, 1, 1)

    result = answer(completed_on=day, placed_in_service_on=day)

    assert any("after those that were checked" in reason.text for reason in result.because)


def test_nothing_claimed_and_nothing_carried_in_is_no_claim() -> None:
    (result,) = assess_credits(
        facts(supply_kind="none", claim_year=2025), (), load_credit_rules(), TODAY
    )

    assert (result.status, result.reason_codes) == ("not_eligible", ("NO_PROPERTY",))


@pytest.mark.parametrize(
    ("changes", "status", "code"),
    [
        ({"residence": "second_home"}, "eligible", ""),
        ({"residence": "tenant"}, "eligible", ""),
        ({"residence": "rented_out"}, "uncertain", "SECOND_HOME_RENTED"),
        ({"residence": "landlord_in_one_unit"}, "uncertain", "ALLOCATION_NEEDED"),
        ({"residence": "landlord"}, "not_eligible", "LANDLORD"),
        ({"residence": "not_a_residence"}, "not_eligible", "NOT_A_RESIDENCE"),
        ({"residence": "house_boat"}, "uncertain", "RESIDENCE_UNKNOWN"),
        ({"region": "US"}, "eligible", ""),
        ({"region": "US-PR"}, "uncertain", "US_TERRITORY"),
        ({"region": "CA-ON"}, "not_eligible", "OUTSIDE_US"),
        ({"permanently_wired": False}, "uncertain", "PORTABLE"),
        ({"permanently_wired": None, "portable": True}, "uncertain", "PORTABLE"),
        ({"permanently_wired": None}, "uncertain", "WIRING_UNKNOWN"),
        ({"completed_on": None}, "uncertain", "COMPLETION_DATE_UNKNOWN"),
        ({"supply_kind": "generator"}, "not_eligible", "GENERATOR"),
        (
            {"newly_built_home": True, "placed_in_service_on": None},
            "uncertain",
            "ORIGINAL_USE_UNKNOWN",
        ),
        (
            {"other_incentives": (("grant_unknown", Decimal(1000)),)},
            "uncertain",
            "INCENTIVE_KIND_UNKNOWN",
        ),
    ],
)
def test_each_fact_has_its_reason(changes: dict[str, Any], status: str, code: str) -> None:
    result = answer(**changes)

    assert result.status == status
    assert result.reason_codes == ((code,) if code else ())
    assert not code or result.because[0].source


@pytest.mark.parametrize(
    ("in_service", "codes"),
    [(date(2025, 12, 31), ()), (date(2026, 1, 1), ("PIS_SPLIT_YEAR",))],
)
def test_completed_by_the_end_but_in_service_after_it_is_uncertain(
    in_service: date, codes: tuple[str, ...]
) -> None:
    result = answer(completed_on=date(2025, 12, 31), placed_in_service_on=in_service)

    assert result.reason_codes == codes
    assert result.if_allowed.amount == Decimal("3000.00")


def test_a_worse_reason_hides_the_milder_ones() -> None:
    result = answer(residence="landlord", permanently_wired=False, completed_on=None)

    assert result.reason_codes == ("LANDLORD",)
    assert result.amount_if_uncertain == 0


def test_an_unknown_day_of_completion_is_not_taken_from_the_payment() -> None:
    result = answer(completed_on=None, paid_on=date(2024, 6, 1))

    assert result.tax_year is None
    assert result.form_lines == ()
    assert "On which day was the original installation completed?" in result.questions
    assert any("still to be done" in reason.text for reason in result.because)


def test_moving_into_a_new_home_after_the_end_gives_nothing() -> None:
    result = answer(
        newly_built_home=True,
        completed_on=date(2025, 11, 1),
        placed_in_service_on=date(2026, 1, 2),
    )

    assert result.reason_codes == ("ENDED_25D",)
    assert result.tax_year == 2026


def test_work_done_after_moving_into_a_new_home_counts_when_it_is_completed() -> None:
    completed = date(2025, 3, 1)

    result = answer(
        newly_built_home=True, completed_on=completed, placed_in_service_on=date(2024, 9, 1)
    )

    assert result.tax_year == completed.year


def test_an_incentive_that_cannot_be_placed_lowers_only_the_sure_amount() -> None:
    result = answer(other_incentives=(("found_money", Decimal(1000)),))

    assert (result.amount, result.amount_if_uncertain) == (Decimal(2700), Decimal(3000))


@pytest.mark.parametrize(
    ("code", "base"),
    [
        ("federal_home_energy_rebate", "9000.00"),
        ("net_metering", "10000.00"),
        ("utility_payment_taxed", "10000.00"),
        ("state_tax_credit", "10000.00"),
    ],
)
def test_other_incentives_come_off_or_stay_as_the_rules_say(code: str, base: str) -> None:
    result = answer(other_incentives=((code, Decimal(1000)),))

    assert (result.status, result.base) == ("eligible", Decimal(base))


def test_incentives_above_the_cost_leave_a_base_of_zero() -> None:
    result = answer(seller_rebate=Decimal(20000))

    assert result.base == result.amount == 0


def test_a_planned_completion_is_said_to_lie_ahead() -> None:
    day = date(2025, 11, 20)

    result = answer(completed_on=day, planned=True, today=day - timedelta(days=30))

    assert any("lies ahead" in question for question in result.questions)
    assert any("lies ahead" in reason.text for reason in result.because)


def test_a_look_up_before_the_first_day_is_a_gap() -> None:
    rules = load_credit_rules()

    with pytest.raises(RuleGap, match="rate has no value for 2005-12-31"):
        rules.rate.on(date(2005, 12, 31))
    with pytest.raises(RuleGap):
        rules.minimum_kwh.on(date(2022, 12, 31))
    assert rules.cap_on(date(2009, 1, 1)) is None


def test_a_carry_forward_of_an_unknown_year_is_not_counted_as_sure() -> None:
    result = answer(completed_on=None, carryforward_in=Decimal(500), tax_limit=Decimal(400))

    assert (result.amount, result.carryforward) == (0, 500)
    assert result.amount_if_uncertain == 400
