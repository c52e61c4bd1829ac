"""The command line: every sample job with every sample list, and input that cannot be used."""

import json
import shutil
import subprocess
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner, Result
from conftest import SAMPLES, sample_jobs, sample_lists

from estimator.cli import main

JOB = SAMPLES / "jobs" / "four_facts.json"
LIST = sample_lists()[0] if sample_lists() else Path("missing.csv")
DAY = "2025-10-01"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


@pytest.fixture(scope="module")
def quotes(tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, str], Path]:
    """A workbook and a JSON result for each sample job with each sample list."""
    folder = tmp_path_factory.mktemp("quotes")
    made = {}
    for job in sample_jobs():
        for price_list in sample_lists():
            stem = folder / f"{job.stem}--{price_list.stem}"
            result = run(
                "quote", job, "--catalogue", price_list, "--on", DAY,
                "--out", f"{stem}.xlsx", "--json", f"{stem}.json",
            )  # fmt: skip
            assert result.exit_code == 0, result.output
            made[job.stem, price_list.stem] = stem
    return made


def test_each_sample_job_is_quoted_from_each_sample_list(
    quotes: dict[tuple[str, str], Path],
) -> None:
    assert len(quotes) >= 15
    for stem in quotes.values():
        assert json.loads(Path(f"{stem}.json").read_text())["price"]["totals"]["total"]


@pytest.mark.skipif(not shutil.which("soffice"), reason="the spreadsheet program is not installed")
def test_each_workbook_recalculates_to_the_total_of_the_json(
    quotes: dict[tuple[str, str], Path], tmp_path: Path
) -> None:
    stripped = tmp_path / "stripped"
    stripped.mkdir()
    for stem in quotes.values():
        # Saving through openpyxl drops every cached value, so nothing can be trusted but the
        # formulas themselves.
        book = openpyxl.load_workbook(f"{stem}.xlsx")
        book.save(stripped / f"{stem.name}.xlsx")

    subprocess.run(
        [
            "soffice", f"-env:UserInstallation=file://{tmp_path}/profile", "--headless",
            "--convert-to", "xlsx", "--outdir", str(tmp_path / "calculated"),
            *map(str, sorted(stripped.iterdir())),
        ],
        check=True, capture_output=True, timeout=300,
    )  # fmt: skip

    for stem in quotes.values():
        expected = json.loads(Path(f"{stem}.json").read_text())["price"]["totals"]["total"]
        book = openpyxl.load_workbook(tmp_path / "calculated" / f"{stem.name}.xlsx", data_only=True)
        name = book.defined_names["grand_total"]
        ((sheet, cell),) = name.destinations
        total = Decimal(str(book[sheet][cell.replace("$", "")].value)).quantize(Decimal("0.01"))
        assert total == Decimal(expected), stem.name


def test_the_quote_prints_parts_price_credit_and_cautions() -> None:
    result = run("quote", JOB, "-c", LIST, "--on", DAY)

    for heading in ("Parts", "Labour", "Price", "Tax credit", "Assumed", "Cautions"):
        assert heading in result.output
    assert "not tax advice" in result.output.lower()


def test_demo_prints_the_main_job_and_the_path_of_its_workbook(tmp_path: Path) -> None:
    target = tmp_path / "demo.xlsx"

    result = run("demo", "--out", target)

    assert result.exit_code == 0
    assert f"Written: {target}" in result.output
    assert openpyxl.load_workbook(target).sheetnames[0] == "Summary"


@pytest.mark.parametrize(
    ("name", "data", "told"),
    [
        ("job.json", b"", "empty"),
        ("job.json", b"{", "not JSON"),
        ("job.yaml", b"a: [", "not YAML"),
        ("job.json", b"[]", "circuits"),
        ("job.json", b"\x00\x01\x02", "not text"),
        ("job.json", b'{"circuits": 5}', "/circuits"),
        ("job.json", b'{"run_length_ft": NaN}', "NaN"),
        ("job.yaml", b"a: &x [1]\nb: *x\n", "alias"),
        ("job.json", b" " * 1_100_000, "bytes"),
    ],
)
def test_a_job_that_cannot_be_used_ends_with_status_2(
    tmp_path: Path, name: str, data: bytes, told: str
) -> None:
    job = tmp_path / name
    job.write_bytes(data)
    out = tmp_path / "out.xlsx"

    result = run("quote", job, "-c", LIST, "--out", out)

    assert result.exit_code == 2
    assert told in result.output
    assert "Traceback" not in result.output
    assert sorted(path.name for path in tmp_path.iterdir()) == [name]


@pytest.mark.parametrize("data", [b"", b"\x00\x01", b"PK\x03\x04zip", b"just words\n"])
def test_a_price_list_that_cannot_be_read_ends_with_status_2(tmp_path: Path, data: bytes) -> None:
    price_list = tmp_path / "list.csv"
    price_list.write_bytes(data)

    result = run("quote", JOB, "-c", price_list)

    assert result.exit_code == 2
    assert "list.csv" in result.output


def test_faults_of_all_files_are_told_together(tmp_path: Path) -> None:
    job = tmp_path / "job.json"
    job.write_text('{"circuits": [], "mounting_surface": "jelly"}')
    price_list = tmp_path / "list.csv"
    price_list.write_bytes(b"")

    result = run("quote", job, "-c", price_list)

    assert result.exit_code == 2
    for told in ("/circuits", "/mounting_surface", "/run_length_ft", "/inlet", "list.csv"):
        assert told in result.output


def test_a_missing_file_and_an_unwritable_output_are_told() -> None:
    missing = run("quote", "nowhere.json", "-c", LIST)
    unwritable = run("quote", JOB, "-c", LIST, "--out", "/nowhere/at/all.xlsx")

    assert missing.exit_code == 2
    assert "nowhere.json" in missing.output
    assert unwritable.exit_code == 2
    assert "cannot be written" in unwritable.output


def test_bad_rows_are_reported_and_the_good_ones_used(tmp_path: Path) -> None:
    price_list = tmp_path / "holes.csv"
    price_list.write_text(
        "item number,description,kind,attributes,price,per\n"
        "A1,call us,insulating_bushing,trade_size=1/2,call,EA\n"
        "A2,bushing,insulating_bushing,trade_size=3/4,0.62,EA\n"
    )

    result = run("quote", JOB, "-c", price_list, "--on", DAY)

    assert result.exit_code == 0
    assert "1 of 2 rows of holes.csv could not be used" in result.output
    assert "INCOMPLETE" in result.output
