"""Credits on the command line: years, programmes of one's own, memo."""

import json
from decimal import Decimal
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner, Result
from conftest import SAMPLES, sample_lists
from openpyxl import load_workbook

from estimator.cli import main

JOB = SAMPLES / "jobs" / "six_circuit_block.yaml"
PROGRAMMES = sorted((SAMPLES / "programmes").glob("*.toml"))


def quote(*words: object, status: int = 0, job: Path = JOB) -> Result:
    fixed = ["quote", job, "-c", sample_lists()[1], "--on", "2025-10-01"]
    result = CliRunner().invoke(main, [str(word) for word in (*fixed, *words)])
    assert result.exit_code == status, result.output
    return result


def test_the_credit_of_the_year_is_printed_and_the_years_only_when_asked_for() -> None:
    plain, asked = quote().output, quote("--years").output

    assert "Tax credit: Residential clean energy credit, battery storage (2025)" in plain
    assert "Credits by year" not in plain
    for span in ("2020 to 2022", "2023 to 2025", "2026", "2027 to 2030"):
        assert f"\n  {span} " in asked
    assert "from uncertain to not eligible: The credit ended" in asked
    assert "As in the year before. The rules were not checked for years this late" in asked


def test_programmes_of_ones_own_are_worked_out_with_their_facts(tmp_path: Path) -> None:
    out = tmp_path / "out.json"
    options = [word for path in PROGRAMMES for word in ("--programme", path)]

    quote(*options, "--fact", "household_income=90000", "--fact", "tax_limit=300", "--json", out)

    found = json.loads(out.read_text())["credits"]
    assert [one["status"] for one in found] == ["uncertain", "uncertain", "eligible", "eligible"]
    assert found[2]["amount"] == "300.00"
    assert "credits_by_year" not in json.loads(out.read_text())


def test_a_faulty_programme_is_refused_with_its_line(tmp_path: Path) -> None:
    broken = tmp_path / "broken.toml"
    broken.write_text(PROGRAMMES[0].read_text().replace('value = "', 'value = "-'))

    result = quote("-p", broken, "--fact", "luck=1", "--fact", "novalue", status=2)

    assert "--fact novalue: must be NAME=VALUE, such as has_solar=yes" in result.output
    result = quote("-p", broken, status=2)
    assert "broken.toml, line " in result.output
    assert "is below zero" in result.output


def test_two_programmes_of_one_place_and_an_unknown_fact_are_refused(tmp_path: Path) -> None:
    twin = tmp_path / "twin.toml"
    twin.write_text(PROGRAMMES[0].read_text().replace('code = "', 'code = "x_'))

    clash = quote("-p", PROGRAMMES[0], "-p", twin, status=2)
    fact = quote("--fact", "luck=1", status=2)

    assert "is also claimed by" in clash.output
    assert "luck: nobody asks for this fact" in fact.output


@pytest.mark.parametrize("name", ["memo.txt", "memo.json", "memo"])
def test_the_memo_is_written_as_text_or_json(tmp_path: Path, name: str) -> None:
    target = tmp_path / name

    result = quote("--memo", target, "--quiet")

    assert f"Written: {target}" in result.output
    text = target.read_text("utf-8")
    assert "not tax advice" in text
    assert "PORTABLE" in text
    if name.endswith(".json"):
        assert json.loads(text)["programmes"][0]["open_points"]


def claiming(path: Path, **claim: object) -> Path:
    """The sample job with other facts of the claim."""
    document = yaml.safe_load(JOB.read_text("utf-8"))
    document["credit_claim"].update(claim)
    path.write_text(json.dumps(document, default=str))
    return path


def test_the_years_after_the_claim_show_how_what_is_left_is_used(tmp_path: Path) -> None:
    out, memo, book = tmp_path / "out.json", tmp_path / "memo.txt", tmp_path / "out.xlsx"
    taxes = ["700.00", "300.00", "400.00"]
    job = claiming(
        tmp_path / "job.json",
        permanently_wired=True,
        tax_before_credit="500.00",
        tax_in_later_years=taxes,
    )

    printed = quote("--json", out, "--memo", memo, "--out", book, job=job).output

    found = json.loads(out.read_text())
    federal, links = found["credits"][0], found["credit_carried_on"]
    assert [link["tax_year"] for link in links] == [2026, 2027, 2028]
    assert links[0]["carried_in"] == federal["carryforward"]
    assert links[0]["carried_in_if_uncertain"] == federal["if_everything"]["carryforward"]
    for link, tax in zip(links, taxes, strict=True):
        used, left = (Decimal(link[f"{name}_if_uncertain"]) for name in ("amount", "carryforward"))
        assert used + left == Decimal(link["carried_in_if_uncertain"])
        assert used == min(Decimal(tax), used + left)
    for text in (printed, memo.read_text("utf-8")):
        assert "Years after, with what is left of the federal credit" in text
        assert f"  2026  {Decimal(federal['carryforward']):>14,.2f}" in text
    assert "tax left for the credit in the years after: 700, 300, 400" in memo.read_text("utf-8")
    cells = [cell.value for row in load_workbook(book)["Credit"] for cell in row]
    assert "2026, sure" in cells
    assert "2028, if all is allowed" in cells


def test_nothing_is_said_of_later_years_when_their_tax_is_not_told(tmp_path: Path) -> None:
    out = tmp_path / "out.json"
    job = claiming(tmp_path / "job.json", permanently_wired=True, tax_before_credit="500.00")

    assert "Years after" not in quote("--json", out, job=job).output
    assert "credit_carried_on" not in json.loads(out.read_text())


def test_paid_in_2025_and_finished_in_2026_rests_on_what_refuses_it_alone(tmp_path: Path) -> None:
    memo = tmp_path / "memo.txt"
    job = claiming(
        tmp_path / "job.json",
        paid_on="2025-11-10",
        completed_on="2026-01-01",
        placed_in_service_on="2026-01-01",
    )

    quote("--memo", memo, job=job)

    text = memo.read_text("utf-8")
    authorities = text.split("Authorities\n")[1].split("\n\n")[0]
    assert "P.L. 119-21, sec. 70506" in authorities
    assert "IRS fact sheet 2025-05" in authorities
    # What a switch would rest on, and the form of the year, decide nothing here.
    assert "Treas. Reg. 1.48-9" not in text
    assert text.splitlines()[-1].startswith("Reviewed by ____")
    assert "draft" not in text


def test_a_memo_that_cannot_be_written_is_told() -> None:
    assert "cannot be written" in quote("--memo", "/nowhere/memo.txt", status=2).output
