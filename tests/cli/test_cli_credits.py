"""Credits on the command line: years, programmes of one's own, memo."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from conftest import SAMPLES, sample_lists

from estimator.cli import main

JOB = SAMPLES / "jobs" / "six_circuit_block.yaml"
PROGRAMMES = sorted((SAMPLES / "programmes").glob("*.toml"))


def quote(*words: object, status: int = 0) -> Result:
    fixed = ["quote", JOB, "-c", sample_lists()[1], "--on", "2025-10-01"]
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


def test_a_memo_that_cannot_be_written_is_told() -> None:
    assert "cannot be written" in quote("--memo", "/nowhere/memo.txt", status=2).output
