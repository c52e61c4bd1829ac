"""What no claim may hold is refused or flagged, never counted in silence."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from credits_samples import BATTERY, TODAY, answer, cost, facts

from estimator.credits.assess import assess_credits
from estimator.credits.claim_checks import claim_findings
from estimator.credits.rules_file import load_credit_rules
from estimator.finding import InputRefused

RULES = load_credit_rules()
BELOW = (
    "it cannot be below zero. Tell a rebate or a refund as an incentive, and leave out what was "
    "not paid."
)


def test_a_cost_below_zero_is_refused_with_its_place() -> None:
    costs = (BATTERY, cost("tools", "0"), cost("inlet_box", "-0.01"))

    with pytest.raises(InputRefused) as caught:
        assess_credits(facts(), costs, RULES, TODAY)

    (fault,) = caught.value.faults
    assert caught.value.what == "credit claim"
    assert (fault.where, fault.message) == ("/costs/2", f"The cost inlet_box is -0.01; {BELOW}")


@pytest.mark.parametrize(
    "name",
    ["carryforward_in", "utility_subsidy", "seller_rebate", "state_incentive", "panel_cost"],
)
def test_money_below_zero_is_refused(name: str) -> None:
    with pytest.raises(InputRefused) as caught:
        answer(**{name: Decimal("-0.01")})

    (fault,) = caught.value.faults
    assert (fault.where, fault.message) == (f"/facts/{name}", f"{name} is -0.01; {BELOW}")


def test_all_faults_of_a_claim_are_told_at_once() -> None:
    with pytest.raises(InputRefused) as caught:
        answer(
            cost("tools", "-1"),
            other_incentives=(("luck", Decimal(-2)), ("net_metering", Decimal(0))),
            nonbusiness_share=Decimal("1.01"),
        )

    assert [(one.where, one.message.partition(";")[0]) for one in caught.value.faults] == [
        ("/costs/0", "The cost tools is -1"),
        ("/facts/other_incentives", "luck is -2"),
        ("/facts/nonbusiness_share", "is 1.01"),
    ]


@pytest.mark.parametrize("share", ["-0.01", "1.01"])
def test_a_share_outside_of_zero_to_one_is_refused(share: str) -> None:
    with pytest.raises(InputRefused) as caught:
        answer(nonbusiness_share=Decimal(share))

    assert caught.value.faults[0].message == f"is {share}; a share lies between 0 and 1"


@pytest.mark.parametrize("share", ["0", "1"])
def test_a_share_at_either_end_is_no_fault(share: str) -> None:
    assert answer(nonbusiness_share=Decimal(share)).status in ("eligible", "not_eligible")


@pytest.mark.parametrize(
    ("day", "codes"),
    [(date(2005, 12, 31), ["CREDIT_DAY_BEFORE_RULES"]), (date(2006, 1, 1), []), (None, [])],
)
def test_a_day_before_the_rules_is_an_error_and_not_a_silent_zero(
    day: date | None, codes: list[str]
) -> None:
    found = claim_findings(facts(completed_on=day), RULES)

    assert [one.code for one in found] == codes
    for one in found:
        assert (one.severity, one.where) == ("error", "/credit_claim/completed_on")
        assert one.message == (
            "The job is told as completed on 2005-12-31; the rules of the tax credit begin on "
            "2006-01-01 and say nothing of that day."
        )
        assert one.remedy == (
            "Correct the day, or leave the credit of that year to a tax professional."
        )
        assert one.source == "pl_119_21_70506"


@pytest.mark.parametrize(("year", "code"), [(2005, "BEFORE_PROGRAMME"), (2006, "BEFORE_PROGRAMME")])
def test_nothing_can_be_carried_into_a_year_before_the_first_that_could(
    year: int, code: str
) -> None:
    changes: dict[str, Any] = {
        "supply_kind": "none", "completed_on": None, "claim_year": year,
        "carryforward_in": Decimal(100),
    }  # fmt: skip

    (result,) = assess_credits(facts(**changes), (), RULES, TODAY)
    (next_year,) = assess_credits(facts(**{**changes, "claim_year": 2007}), (), RULES, TODAY)

    assert (result.status, result.reason_codes) == ("not_eligible", (code,))
    assert result.amount == 0
    assert (next_year.status, next_year.amount) == ("eligible", 100)


def test_a_completion_ahead_is_answered_under_todays_law() -> None:
    day = date(2025, 11, 20)

    result = answer(
        completed_on=day, placed_in_service_on=day, planned=True, today=date(2025, 10, 1)
    )

    assert result.status == "eligible"
    assert any("under today's law" in one.text for one in result.because)
