"""Worked examples, one row each; an accountant can add one to cases/*.csv."""

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from credits_samples import TODAY, cost

from estimator.credits.assess import assess_credits
from estimator.credits.records import ClaimFacts, CostLine
from estimator.credits.rules_file import load_credit_rules

CASES = Path(__file__).parent / "cases" / "federal_residential_credit.csv"
Case = dict[str, str]


def read_cases() -> list[Case]:
    with CASES.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def number(text: str) -> Decimal | None:
    return Decimal(text) if text else None


def case_facts(case: Case) -> ClaimFacts:
    return ClaimFacts(
        supply_kind=case["supply"],  # type: ignore[arg-type]
        completed_on=day(case["completed_on"]),
        placed_in_service_on=day(case["placed_in_service_on"]),
        paid_on=day(case["paid_on"]),
        planned=False,
        portable=case["permanently_wired"] == "false",
        permanently_wired=case["permanently_wired"] == "true",
        nameplate_kwh=number(case["kwh"]),
        usable_kwh=None,
        charged_only_by_onsite_solar=case["solar_only"] == "true",
        residence=case["residence"],
        newly_built_home=case["new_home"] == "true",
        region="US",
        nonbusiness_share=Decimal(case["nonbusiness_share"]),
        tax_limit=number(case["tax_limit"]),
        carryforward_in=Decimal(case["carryforward_in"]),
        utility_subsidy=Decimal(case["utility_subsidy"]),
        seller_rebate=Decimal(case["seller_rebate"]),
        state_incentive=Decimal(case["state_incentive"]),
        claim_year=int(case["claim_year"]) if case["claim_year"] else None,
    )


def case_costs(case: Case) -> list[CostLine]:
    costs = [cost(case["cost_code"], case["gross"])] if case["cost_code"] else []
    if case["left_out"] != "0":
        costs.append(cost("transfer_switch", case["left_out"]))
    return costs


def test_the_case_file_has_rows_and_no_name_twice() -> None:
    names = [case["id"] for case in read_cases()]

    assert len(names) == len(set(names)) == 34


@pytest.mark.parametrize(
    "case", read_cases(), ids=lambda case: f"{case['id']}: {case['source']}".replace("/", "-")
)
def test_a_worked_example_comes_out_as_published(case: Case) -> None:
    facts, costs = case_facts(case), case_costs(case)

    (answer,) = assess_credits(facts, costs, load_credit_rules(), TODAY)

    # The examples give an uncertain claim's amounts as they would be if it were allowed.
    outcome = answer.if_allowed
    assert answer.status == case["status"]
    assert list(answer.reason_codes) == case["reason_codes"].split()
    assert str(answer.tax_year or "") == case["tax_year"]
    assert outcome.base == Decimal(case["base"])
    assert answer.rate == Decimal(case["rate"])
    assert outcome.tentative == Decimal(case["tentative"])
    if case["amount"]:
        assert outcome.amount == Decimal(case["amount"])
    if case["carryforward"]:
        assert outcome.carryforward == Decimal(case["carryforward"])


@pytest.mark.parametrize(
    "case", [case for case in read_cases() if case["status"] != "uncertain"], ids=lambda c: c["id"]
)
def test_a_sure_example_has_its_amounts_among_the_sure_ones(case: Case) -> None:
    (answer,) = assess_credits(case_facts(case), case_costs(case), load_credit_rules(), TODAY)

    assert (answer.base, answer.tentative) == (Decimal(case["base"]), Decimal(case["tentative"]))
    if case["amount"]:
        assert answer.amount == answer.amount_if_uncertain == Decimal(case["amount"])


@pytest.mark.parametrize(
    "case", [case for case in read_cases() if case["status"] == "uncertain"], ids=lambda c: c["id"]
)
def test_an_uncertain_example_counts_nothing_as_sure(case: Case) -> None:
    (answer,) = assess_credits(case_facts(case), case_costs(case), load_credit_rules(), TODAY)

    assert answer.base == answer.tentative == answer.amount == 0
    assert answer.amount_if_uncertain > 0
    assert answer.questions
