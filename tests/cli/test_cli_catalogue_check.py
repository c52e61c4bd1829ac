"""``estimator catalogue check`` and ``estimator quote --confirmed``."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from conftest import SAMPLES, sample_lists

from estimator.cli import main

OTHER = SAMPLES / "price_lists_other"
DESCRIBED = OTHER / "descriptions_only.csv"
CONFIRMED = OTHER / "confirmed_matches.csv"
JOB = SAMPLES / "jobs" / "six_circuit_block.yaml"
DAY = "2025-10-01"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def check(*words: object) -> Result:
    return run("catalogue", "check", *words)


def test_reading_units_matches_and_coverage_are_reported() -> None:
    result = check(DESCRIBED, "--job", JOB)

    assert result.exit_code == 0
    assert "62 rows: 52 items, 1 with faults, 9 not understood" in result.output
    assert "Kinds read from: description 52" in result.output
    assert "Prices are for: each " in result.output
    assert (
        "row 25, item CC3002, '1/2 EMT COMP CONN STL': not understood: style not" in result.output
    )
    assert "32 of 32 different parts have a price (100 %)" in result.output
    assert "WARNING PRICE_LIST_ROWS_NOT_UNDERSTOOD" in result.output


def test_the_sample_jobs_are_looked_for_where_none_is_given() -> None:
    result = check(*sample_lists())

    assert result.exit_code == 0
    jobs = [path.name for path in sorted((SAMPLES / "jobs").iterdir())]
    assert f"Parts of {len(jobs)} jobs" in result.output
    assert ", ".join(jobs) in result.output


def test_json_counts_add_up() -> None:
    found = json.loads(check(DESCRIBED, "--json").output)

    (one,) = found["lists"]
    assert one["rows_read"] == one["items"] + 1 + len(one["unread"])
    assert sum(one["read_from"].values()) == sum(one["price_basis"].values()) == one["items"]
    coverage = found["coverage"]
    assert coverage["parts"] == len(found["matches"])
    assert coverage["parts"] == sum(
        coverage[match] for match in ("exact", "confirmed", "proposed", "unpriced")
    )


def test_confirmed_matches_count_in_the_check_and_in_the_quote() -> None:
    checked = json.loads(check(DESCRIBED, "--job", JOB, "--confirmed", CONFIRMED, "--json").output)
    quoted = run("quote", JOB, "-c", DESCRIBED, "--confirmed", CONFIRMED, "--on", DAY)

    assert checked["coverage"]["confirmed"] == 2
    assert quoted.exit_code == 0
    assert f"{checked['coverage']['proposed']} matches to be confirmed" in quoted.output


def test_nothing_is_stored(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)

    check(DESCRIBED)

    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("data", [b"", b"\x00\x01", b"%PDF-1.7", b"item number,price,per\n"])
def test_a_list_that_cannot_be_read_ends_with_status_2(tmp_path: Path, data: bytes) -> None:
    price_list = tmp_path / "list.csv"
    price_list.write_bytes(data)

    result = check(price_list)

    assert result.exit_code == 2
    assert "list.csv" in result.output
    assert "Traceback" not in result.output


def test_faults_of_lists_jobs_and_confirmed_matches_are_told_together(tmp_path: Path) -> None:
    for name, text in (("l.csv", ""), ("j.json", '{"circuits": 5}'), ("c.csv", "supplier\n")):
        (tmp_path / name).write_text(text)

    result = check(
        tmp_path / "l.csv", "--job", tmp_path / "j.json", "--confirmed", tmp_path / "c.csv"
    )

    assert result.exit_code == 2
    for told in ("l.csv", "/circuits", "the first row must name the columns"):
        assert told in result.output


def test_a_missing_file_is_told() -> None:
    assert check("nowhere.csv").exit_code == 2
    assert "nowhere.csv: cannot be read" in check("nowhere.csv").output
