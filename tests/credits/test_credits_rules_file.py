"""A rule file that cannot be trusted is refused with every fault and its place.

Each file in broken/ holds one mistake: its tables and fields take the place of those of the
sound file (a whole table such as [reason.USED] at a time), so only the mistake is left to find.
"""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from estimator.credits.labour_costs import SHARED, load_labour_costs
from estimator.credits.rules import CreditRules
from estimator.credits.rules_file import credit_rules_from, load_credit_rules, read_credit_rules
from estimator.published.dated import RuleError
from estimator.published.sources import load_sources
from estimator.published.tables import TableError, package_text
from estimator.takeoff.labour_units import load_labour_units
from estimator.takeoff.part_kinds import load_part_kinds

BROKEN = Path(__file__).parent / "broken"
SOUND = package_text("estimator.credits", "rules/federal_residential_clean_energy.toml")
FORM_LINES = package_text("estimator.credits", "rules/form_5695_lines.csv")

FAULTS = {
    "rate_unknown_field": "rate, entry 1: unknown field rate",
    "rate_missing_source": "rate, entry 1: field source is missing",
    "rate_unknown_source": "rate, entry 1: 'usc_99' is not a key of sources.toml",
    "rate_bare_number": "rate, entry 1: value must be a number written as text",
    "rate_above_one": "rate, entry 1: value 30 is not within 0 and 1",
    "rate_date_as_text": "rate, entry 1: from must be a date",
    "rate_overlap": "rate, entry 2: starts before the entry above it ends",
    "rate_gap": "rate, entry 2: leaves a gap after the entry above it",
    "rate_starts_late": "rate: has no value from 2006-01-01",
    "rate_ends_early": "rate: has no value after 2024-12-31",
    "minimum_starts_late": "minimum_kwh: has no value from 2023-01-01",
    "no_caution": "caution must be a list of at least one text",
    "caution_is_text": "caution must be a list of texts",
    "year_as_text": "checked_through_year must be a whole number",
    "checked_on_as_text": "checked_on must be a date",
    "unknown_top_field": "unknown field colour",
    "verdict_order_incomplete": "verdict_order must name each of eligible, not_eligible, uncertain",
    "location_unknown_field": "location: unknown field planet",
    "cost_unknown_verdict": "cost.tools, verdict 1: value 'perhaps' is not one of eligible",
    "cost_unknown_role": "cost.tools: role 'extra' is not one of storage, with_storage, apart",
    "cost_unknown_source": "cost.tools, verdict 1: 'hearsay' is not a key of sources.toml",
    "cost_without_sources": "cost.tools, verdict 1: sources must be a list of at least one text",
    "cost_without_why": "cost.tools, verdict 1: field why is missing",
    "cost_empty_why": "cost.tools, verdict 1: why is empty",
    "cost_unexplained_reason": "cost.tools, verdict 1: reason_code NO_IDEA is not explained",
    "cost_eligible_but_left_out": "in_base cannot be false for a cost that is eligible",
    "cost_refused_but_counted": "in_base cannot be true for a cost that is not_eligible",
    "cost_storage_without_reason": "COST_OUTSIDE cannot stand on a battery that is not_eligible",
    "cost_in_base_as_text": "cost.tools, verdict 1: in_base must be true or false",
    "cost_unknown_field": "cost.tools, verdict 1: unknown field amount",
    "cost_starts_late": "cost.tools: has no value from 2006-01-01",
    "cost_gap": "cost.tools, entry 2: leaves a gap after the entry above it",
    "cost_overlap": "cost.tools, entry 2: starts before the entry above it ends",
    "cost_until_before_from": "cost.tools, entry 1: until is before from",
    "cost_without_verdicts": "cost.tools: verdict is empty",
    "residence_unexplained_reason": "residence.tenant: reason_code NO_TENANTS is not explained",
    "residence_without_reason_code": "residence.tenant: field reason_code is missing",
    "incentive_unknown_effect": "incentive.seller_rebate: effect 'halve' is not one of subtract",
    "reason_unknown_scope": "reason.USED: scope 'moon' is not one of claim, storage, amount",
    "reason_without_checked_on": "reason.USED: field checked_on is missing",
    "reason_is_text": "reason.USED: is not a table of fields",
    "question_without_text": "question.PRICE: field text is missing",
    "evidence_unknown_need": "evidence, entry 1: needed_for 'fun' is not one of new_cost",
    "several_faults": "rate, entry 1: value must be a number written as text",
}


def read(document: dict[str, Any]) -> CreditRules:
    return credit_rules_from(document, FORM_LINES, load_sources(), name="rules.toml")


def broken(name: str) -> dict[str, Any]:
    document = tomllib.loads(SOUND)
    for section, entries in tomllib.loads((BROKEN / f"{name}.toml").read_text("utf-8")).items():
        if isinstance(entries, dict) and section != "location":
            document[section].update(entries)
        else:
            document[section] = entries
    return document


def test_every_broken_file_is_read_by_a_test() -> None:
    assert {path.stem for path in BROKEN.iterdir()} == set(FAULTS)


@pytest.mark.parametrize(("name", "told"), FAULTS.items(), ids=FAULTS)
def test_a_broken_rule_file_is_refused_with_its_place(name: str, told: str) -> None:
    document = broken(name)

    with pytest.raises(RuleError) as caught:
        read(document)

    lines = str(caught.value).splitlines()
    assert any(line.startswith("rules.toml: ") and told in line for line in lines), lines
    assert name in ("several_faults", "reason_is_text") or len(lines) == 1, lines


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(RuleError) as caught:
        read(broken("several_faults"))

    told = str(caught.value)
    assert "value must be a number" in told
    assert "'usc_99' is not a key" in told
    assert "verdict 'no' is not one of" in told


@pytest.mark.parametrize(
    ("table", "code"),
    [("reason", "ENDED_25D"), ("cost", "unsorted"), ("question", "TAX_LIMIT")],
)
def test_what_the_assessment_asks_for_may_not_be_missing(table: str, code: str) -> None:
    document = tomllib.loads(SOUND)
    del document[table][code]

    with pytest.raises(RuleError, match=f"{table}.{code} is missing"):
        read(document)


@pytest.mark.parametrize("field", ["rate", "in_force", "programme", "caution", "location", "cost"])
def test_a_missing_part_is_told(field: str) -> None:
    document = tomllib.loads(SOUND)
    del document[field]

    with pytest.raises(RuleError, match=f"field {field} is missing"):
        read(document)


def test_text_that_is_not_toml_is_refused() -> None:
    with pytest.raises(RuleError, match=r"rules\.toml: "):
        read_credit_rules("rate = ", FORM_LINES, load_sources(), name="rules.toml")


@pytest.mark.parametrize(
    ("find", "put", "told"),
    [
        ("2025,5b,storage_cost", "2025,5b,battery", "column item: 'battery' is not one of"),
        ("2025,5b,storage_cost", "2025,5a,storage_cost", "stands in row"),
        ("line,item,label", "line,label,item", "columns must be in the order"),
        (",seen,form_5695\n2019", ",seen,form_9\n2019", "'form_9' is not a key"),
    ],
)
def test_broken_form_lines_are_refused(find: str, put: str, told: str) -> None:
    text = FORM_LINES.replace(find, put, 1)

    with pytest.raises(TableError, match=told):
        read_credit_rules(SOUND, text, load_sources(), name="rules.toml")


def test_the_rules_are_read_once_in_a_process() -> None:
    assert load_credit_rules() is load_credit_rules()


def test_the_rules_hold_from_2006_to_the_end_of_2025() -> None:
    rules = load_credit_rules()

    assert (rules.first_day.isoformat(), rules.last_day.isoformat()) == ("2006-01-01", "2025-12-31")


def test_every_task_of_the_labour_table_has_a_cost_that_the_rules_know() -> None:
    costs = load_labour_costs()

    assert {row.cost_code for row in costs.values()} <= {*load_credit_rules().costs, SHARED}
    assert set(load_labour_units()) <= set(costs)


def test_a_part_that_the_rules_know_by_name_is_judged_by_that_name() -> None:
    """A surge protector among the wiring would slip into the base."""
    costs, kinds = load_credit_rules().costs, load_part_kinds()
    known = {name: kinds[name].cost_code for name in kinds if name in costs}

    assert known == {name: name for name in ("cord_set", "surge_protector", "transfer_switch")}
    assert {kind.cost_code for kind in kinds.values()} <= set(costs)
    assert load_labour_costs()["fit_surge_protector"].cost_code == "surge_protector"
