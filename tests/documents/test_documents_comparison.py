"""The ways to get the job done, on every document."""

import io
from decimal import Decimal
from typing import Any

import pytest
from conftest import SAMPLE_DAY, SAMPLES
from documents_factory import make_estimate
from openpyxl import load_workbook

from estimator import usecases
from estimator.compare.records import HireQuote
from estimator.documents.comparison_rows import quote_words
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.documents.text_report import text_report
from estimator.documents.workbook import write_workbook
from estimator.job.read import read_job_document
from estimator.money import to_cents
from estimator.published.sources import load_sources
from estimator.usecases import Catalogue

NAMES = ["own", "hire", "cords_only"]


def estimate(catalogue: Catalogue, **comparison: Any) -> FullEstimate:
    path = SAMPLES / "jobs" / "six_circuit_block.yaml"
    document = read_job_document(path.read_bytes(), path.name)
    return usecases.estimate_job(
        {**document, "comparison": comparison}, catalogue, today=SAMPLE_DAY
    )


@pytest.fixture(scope="module")
def full(catalogue: Catalogue) -> FullEstimate:
    return estimate(
        catalogue, own_hour_value="25.00", tools_owned=["hacksaw"], hire_quotes=["3100.00"]
    )


def test_the_result_lists_the_three_ways_with_their_money(full: FullEstimate) -> None:
    ways = result_document(full)["comparison"]

    assert [way["way"] for way in ways] == NAMES
    for way in ways:
        paid = sum(Decimal(cost["amount"]) + Decimal(cost["sales_tax"]) for cost in way["costs"])
        assert Decimal(way["cash_cost"]) == paid
        after = Decimal(way["cash_cost"]) - Decimal(way["credit"])
        assert Decimal(way["cost_after_credit"]) == after
        assert Decimal(way["low"]) <= Decimal(way["likely"]) <= Decimal(way["high"])
        assert way["because"]


def test_hiring_is_the_total_of_the_quote_and_the_supply(full: FullEstimate) -> None:
    hire = full.ways[1]

    assert hire.supply_cost is not None
    assert hire.cash_cost == full.price.total + hire.supply_cost


def test_every_source_of_a_way_is_spelled_out(full: FullEstimate) -> None:
    result = result_document(full)

    for way in result["comparison"]:
        entries = [*way["because"], *way["leaves_out"], *way["may_be_forbidden"]]
        entries += [reason for tool in way["tools"] for reason in tool["because"]]
        entries += [reason for cost in way["costs"] for reason in cost["because"]]
        assert {entry["source"] for entry in entries} <= set(result["sources"])


def test_the_report_sets_the_ways_side_by_side(full: FullEstimate) -> None:
    text = text_report(full)

    assert "Ways to get it done" in text
    own = full.ways[0]
    assert f"{own.cash_cost:,.2f}" in text
    rows = {line[:52].strip(): line[52:].split() for line in text.splitlines()}
    assert rows["USD"] == ["Do", "it", "oneself", "Hire", "Only", "cords"]
    assert rows["Cash cost"] == [f"{way.cash_cost:,.2f}" for way in full.ways]
    assert rows["Whole cost: likely"] == [f"{way.likely:,.2f}" for way in full.ways]
    assert rows["Credit if the claims are allowed"] == [
        f"{way.credit_if_allowed:,.2f}" for way in full.ways
    ]
    assert rows["Worth of an own hour at which hiring costs the same"] == [
        f"{own.break_even_hour_value:,.2f}"
    ]
    flowing = " ".join(text.split())
    (quote,) = full.ways[1].hire_quotes
    assert (
        f"- a quote of 3,100.00, {quote.with_supply:,.2f} with the supply, before any credit: it "
        f"costs what own work does when an own hour is worth {quote.break_even_hour_value:,.2f}"
    ) in flowing
    assert rows["Whole cost"] == [f"{way.whole_cost:,.2f}" for way in full.ways]
    assert own.whole_cost == own.cash_cost - own.credit + own.own_hours_value
    # The method stands beside the range, with its source.
    assert "beta distributed between their three points" in flowing
    assert load_sources()["pert_three_point"].cite() in flowing
    assert "- leaves out: Furnace blower: by its name (furnace)" in text
    # Nothing is borrowed and no outage is told: no rows of blanks.
    assert "Interest of the loan" not in rows
    assert "Cost of each hour of outage" not in rows


def test_the_report_says_when_own_hours_are_not_valued(catalogue: Catalogue) -> None:
    assert "own hours not valued" in text_report(estimate(catalogue))


def test_the_workbook_shows_each_way_in_a_column(full: FullEstimate) -> None:
    sheet = load_workbook(io.BytesIO(write_workbook(full)), data_only=True)["Comparison"]

    rows = {row[0].value: [cell.value for cell in row[1:4]] for row in sheet.iter_rows()}
    assert rows["Cash cost"] == [float(way.cash_cost) for way in full.ways]
    assert rows["Whole cost"] == [float(way.whole_cost) for way in full.ways]
    assert rows["Low"] == [float(way.low) for way in full.ways]
    assert rows["Quote 1 of others, the supply added"][1] == float(
        full.ways[1].hire_quotes[0].with_supply
    )
    texts = {str(cell.value) for row in sheet.iter_rows() for cell in row}
    assert "fish tape" in texts


def test_a_loan_and_the_hours_of_outage_stand_on_every_document(catalogue: Catalogue) -> None:
    told = estimate(
        catalogue,
        loan={"amount": "3000.00", "annual_rate_percent": "8.9", "months": 36},
        outage_hours_per_year=10,
        years_of_use=8,
        hire_quotes=["3100.00"],
    )
    # 3000 at 8.9 % a year: 36 payments of 95.2596 less 3000.
    interest = "429.35"

    own, hire, _ = result_document(told)["comparison"]
    sheet = load_workbook(io.BytesIO(write_workbook(told)), data_only=True)["Comparison"]
    rows = {row[0].value: [cell.value for cell in row[1:4]] for row in sheet.iter_rows()}
    text = {line[:52].strip(): line[52:].split() for line in text_report(told).splitlines()}

    (loan,) = [cost for cost in own["costs"] if cost["what"] == "loan"]
    assert loan["amount"] == interest
    assert hire["hire_quotes"][0]["interest"] == interest
    assert rows["Interest of the loan"][0] == float(interest)
    assert text["Interest of the loan"][0] == interest
    (quote,) = told.ways[1].hire_quotes
    with_interest = quote.with_supply + Decimal(interest)
    flowing = " ".join(text_report(told).split())
    assert f"and {with_interest:,.2f} with the interest of the loan, before any" in flowing
    hours = to_cents(Decimal(own["cost_after_credit"]) / 80)
    assert own["cost_per_outage_hour"] == str(hours)
    assert rows["Cost of each hour of outage"][0] == float(hours)
    assert text["Cost of each hour of outage"][0] == f"{hours:,.2f}"


def test_a_panel_takes_its_part_of_the_tax_before_the_credit_of_a_way(catalogue: Catalogue) -> None:
    path = SAMPLES / "jobs" / "six_circuit_block.yaml"
    document = read_job_document(path.read_bytes(), path.name)
    assert isinstance(document, dict)
    claim = {
        **document["credit_claim"],
        "permanently_wired": True,
        "tax_before_credit": "900.00",
        "panel_upgrade": {"cost": "1500.00", "amps": 200, "enables": ["heat_pump"]},
    }
    facts = [("other_improvement_credits", "0")]

    told = usecases.estimate_job(
        {**document, "credit_claim": claim}, catalogue, today=SAMPLE_DAY, programme_facts=facts
    )

    own, hire, cords = told.ways
    assert [one.amount for one in told.credits] == [450, 450]
    assert told.credit_total.sure == 900
    assert (own.credit, hire.credit) == (450, 450)
    # Only plugged in, the unit is no sure claim.
    assert cords.credit == 0
    assert cords.credit_if_allowed == 450


def test_an_estimate_without_ways_says_so_in_the_workbook_and_nothing_in_the_report() -> None:
    estimate = make_estimate()

    sheet = load_workbook(io.BytesIO(write_workbook(estimate)))["Comparison"]

    texts = {str(cell.value) for row in sheet.iter_rows() for cell in row}
    assert "The ways to get this job done were not compared." in texts
    assert "Ways to get it done" not in text_report(estimate)


def test_own_work_is_compared_with_a_contractors_price(catalogue: Catalogue) -> None:
    path = SAMPLES / "jobs" / "six_circuit_block.yaml"
    document = read_job_document(path.read_bytes(), path.name)
    hired = usecases.estimate_job(document, catalogue, today=SAMPLE_DAY)
    own = {**document, "labour": {**document["labour"], "skill": "own"}}

    alone = usecases.estimate_job(own, catalogue, today=SAMPLE_DAY)

    assert alone.ways[1].cash_cost == hired.ways[1].cash_cost
    assert alone.ways[0].cash_cost == hired.ways[0].cash_cost
    assert abs(alone.ways[0].hours - hired.ways[0].hours) < Decimal("0.2")
    assert alone.ways[0].hours == alone.take_off.hours


@pytest.mark.parametrize(
    ("quote", "words"),
    [
        (
            HireQuote(Decimal(900), Decimal(900), None, None),
            "a quote of 900.00, before any credit",
        ),
        (
            HireQuote(Decimal(900), Decimal(1000), Decimal("0.00"), Decimal("0.00")),
            "a quote of 900.00, 1,000.00 with the supply, before any credit: it costs what own "
            "work does when an own hour is worth 0.00",
        ),
        (
            HireQuote(Decimal(900), Decimal(1000), Decimal(50), Decimal("-0.01")),
            "a quote of 900.00, 1,000.00 with the supply and 1,050.00 with the interest of the "
            "loan, before any credit: it costs less than own work even if own hours are worth "
            "nothing",
        ),
    ],
)
def test_a_quote_of_others_is_told_in_words(quote: HireQuote, words: str) -> None:
    assert quote_words(quote) == words
