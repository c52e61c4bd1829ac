"""Each quirky sample list is reported by ``estimator catalogue check`` exactly as expected."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from quirky_lists import FOLDER, expected_of, mapping_of, quirky_lists, report_of

from estimator.cli import main

LISTS = quirky_lists()


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.name)
def test_a_quirky_list_is_reported_as_expected(path: Path) -> None:
    report, status = report_of(path)

    assert report == expected_of(path).read_text("utf-8")
    assert status == 0


@pytest.mark.parametrize(
    "path", [path for path in LISTS if mapping_of(path)], ids=lambda path: path.name
)
def test_a_list_that_needs_a_person_is_refused_until_one_told(path: Path) -> None:
    report, status = report_of(path, mapped=False)

    assert report == expected_of(path, mapped=False).read_text("utf-8")
    assert status == 2


def test_every_expected_report_has_its_list() -> None:
    wanted = {expected_of(path, mapped=mapped) for path in LISTS for mapped in (True, False)}

    assert set(FOLDER.glob("*.txt")) == wanted
    assert len(LISTS) >= 8


def test_a_row_of_a_workbook_that_is_not_understood_tells_its_sheet_in_json() -> None:
    path = FOLDER / "lakeside_workbook.xlsx"

    answer = CliRunner().invoke(main, ["catalogue", "check", str(path), "--json"])

    unread = json.loads(answer.output)["lists"][0]["unread"]
    assert [(row["sheet"], row["row"]) for row in unread] == [("Fittings", 15)]
