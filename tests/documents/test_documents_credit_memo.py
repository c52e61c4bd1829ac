"""The credit memo holds what an accountant needs: facts, arithmetic, authorities, open points."""

import json
from datetime import date

import pytest
from conftest import SAMPLE_DAY, SAMPLES

from estimator import usecases
from estimator.documents.credit_memo import NOT_ADVICE, CreditMemo, credit_memo
from estimator.documents.credit_memo_json import memo_document
from estimator.documents.credit_memo_text import memo_text
from estimator.documents.records import FullEstimate
from estimator.job.read import read_job_document
from estimator.usecases import Catalogue

PROGRAMMES = [
    (path.name, path.read_bytes()) for path in sorted((SAMPLES / "programmes").glob("*.toml"))
]


def estimate(catalogue: Catalogue, day: date = SAMPLE_DAY, **claim: object) -> FullEstimate:
    path = SAMPLES / "jobs" / "six_circuit_block.yaml"
    document = read_job_document(path.read_bytes(), path.name)
    assert isinstance(document, dict)
    document["credit_claim"] = {**document["credit_claim"], **claim}
    facts = [("household_income", "90000"), ("state_storage_credit.tax_limit", "300")]
    return usecases.estimate_job(
        document,
        catalogue,
        today=day,
        programmes=PROGRAMMES,
        programme_facts=facts,
        by_year=True,
    )


@pytest.fixture(scope="module")
def memo(catalogue: Catalogue) -> CreditMemo:
    panel = {"cost": "1500.00", "amps": 200, "enables": ["heat_pump"]}
    return credit_memo(estimate(catalogue, panel_upgrade=panel))


def test_facts_are_listed_with_what_was_only_assumed(memo: CreditMemo) -> None:
    facts = {fact.name: (fact.value, fact.assumed) for fact in memo.facts}

    assert facts["installation completed on"] == ("2025-11-20", "")
    assert facts["permanently wired"] == ("no", "")
    assert facts["carried in"][0] == "0"
    assert facts["carried in"][1]
    assert facts["the panel makes possible"] == ("heat pump", "")
    assert facts["household income"] == ("90000", "")
    assert facts["state storage credit.tax limit"] == ("300", "")


def test_a_fact_that_was_not_told_says_so(catalogue: Catalogue) -> None:
    told = estimate(catalogue, tax_before_credit=None, completed_on=None)

    facts = {fact.name: fact.value for fact in credit_memo(told).facts}

    assert facts["tax left for the credit"] == facts["installation completed on"] == "not told"
    assert "cost of panel work" not in facts


def test_each_programme_has_its_computation_under_three_readings(memo: CreditMemo) -> None:
    federal, panel, utility, state, _ = memo.sections

    steps = {step.label.partition(":")[0].partition(",")[0]: step for step in federal.steps}
    assert steps["rate"].sure == "30 %"
    assert steps["base"].sure == "0.00"
    assert steps["usable this year"].if_everything == f"{federal.answer.amount_if_uncertain:,.2f}"
    assert panel.answer.reason_codes == ("OTHER_ITEMS_UNKNOWN",)
    assert utility.steps[1].sure == "none"
    assert state.answer.amount == 300


def test_authorities_are_those_of_the_answer_and_its_costs(memo: CreditMemo) -> None:
    federal = memo.sections[0]

    assert len(set(federal.authorities)) == len(federal.authorities)
    assert "26 USC 25D, (d)(6)(A)" in federal.authorities
    assert any(one.startswith("Treas. Reg. 1.48-9") for one in federal.authorities)
    assert not any("job description" in one for one in federal.authorities)
    assert memo.sections[3].authorities == ("Invented state tax code, section 12",)


def test_the_text_shows_everything_that_the_record_holds(memo: CreditMemo) -> None:
    text = " ".join(memo_text(memo).split())

    assert NOT_ADVICE in text
    for fact in memo.facts:
        assert f"- {fact.name}: {fact.value}" in text
    for section in memo.sections:
        answer = section.answer
        for line in answer.lines:
            assert " ".join(line.cost.split()) in text
            assert f"{line.amount:,.2f}" in text
        for form_line in answer.form_lines:
            assert f"line {form_line.line} {form_line.amount}" in text
        for point in answer.open_points:
            for word in (point.for_text, point.for_authority, point.against_text,
                         point.against_authority, point.settled_by, point.supposing):  # fmt: skip
                assert word in text
            assert (
                f"against {point.amount_against:,.2f}, if it goes for {point.amount_for:,.2f}"
                in text
            )
        for word in (*answer.evidence, *answer.questions, *section.authorities, answer.caution):
            assert word in text
    assert "Form 5695 of 2025" in text
    assert "By year" in text
    assert max(map(len, memo_text(memo).splitlines())) <= 150


def test_the_json_is_writable_and_holds_the_same_sections(memo: CreditMemo) -> None:
    document = json.loads(json.dumps(memo_document(memo)))

    assert document["not_advice"] == NOT_ADVICE
    assert [one["programme"] for one in document["programmes"]] == [
        section.answer.programme for section in memo.sections
    ]
    first = document["programmes"][0]
    assert first["open_points"][0]["for"]["authority"] == "26 USC 25D, (d)(6)(A)"
    assert first["form_lines"][0]["form"] == "Form 5695"
    assert len(document["years"]) == 11


def test_without_the_table_of_years_there_is_none(catalogue: Catalogue) -> None:
    path = SAMPLES / "jobs" / "four_facts.json"
    job = read_job_document(path.read_bytes(), path.name)

    memo = credit_memo(usecases.estimate_job(job, catalogue, today=SAMPLE_DAY))

    assert "years" not in memo_document(memo)
    assert "By year" not in memo_text(memo)


def test_a_job_of_2026_has_zero_with_the_reason(catalogue: Catalogue) -> None:
    ended = estimate(
        catalogue,
        date(2026, 3, 1),
        completed_on="2026-01-01",
        placed_in_service_on="2026-01-01",
        paid_on="2025-11-10",
    )

    text = " ".join(memo_text(credit_memo(ended)).split())

    assert ended.credits[0].amount == ended.credits[0].amount_if_uncertain == 0
    assert "Verdict: not eligible (ENDED_25D)" in text
    assert "even if it was paid for before." in text


def test_a_day_before_the_rules_is_an_error_of_the_estimate(catalogue: Catalogue) -> None:
    early = estimate(catalogue, completed_on="2005-12-31", placed_in_service_on="2005-12-31")

    assert early.findings[0].code == "CREDIT_DAY_BEFORE_RULES"
