"""``estimator tables`` shows every table and rule with its sources."""

import csv
import io

import pytest
from click.testing import CliRunner, Result

from estimator import usecases
from estimator.cli import main


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["tables", *words], catch_exceptions=False)


def test_all_tables_are_listed_with_their_row_counts_and_what_rests_on_memory() -> None:
    result = run()

    assert result.exit_code == 0
    for table in usecases.list_tables():
        line = next(one for one in result.output.splitlines() if one.split()[0] == table.name)
        assert int(line.split()[1]) == len(table.rows)
    last = result.output.splitlines()[-1]
    assert last.startswith(f"{len(usecases.list_tables())} tables, ")
    assert "rest on memory alone" in last


def test_a_table_is_printed_with_citation_and_status_of_each_row() -> None:
    result = run("sizing.ampacity")

    assert "size=14 AWG  material=cu  insulation_temp_c=60  ampacity_a=15" in result.output
    assert result.output.count("NFPA 70 (2023), Table 310.16 (seen)") == 105


def test_doubt_is_shown_where_a_figure_is_from_memory() -> None:
    result = run("cord_ampacity")

    assert "9 from memory alone" in result.output.splitlines()[0]
    assert result.output.count("[from memory, not checked] (memory)") == 9


@pytest.mark.parametrize(
    ("edition", "section"),
    [("2023", "Table 310.15(B)(1)(1)"), ("2020", "Table 310.15(B)(1)")],
)
def test_sections_are_cited_by_the_edition_asked_for(edition: str, section: str) -> None:
    result = run("ambient", "--edition", edition)

    assert f"NFPA 70 ({edition}), {section} (" in result.output


def test_a_table_comes_as_csv_with_its_sources() -> None:
    rows = list(csv.DictReader(io.StringIO(run("box_allowances", "--csv").output)))

    assert rows[0] == {
        "size": "18 AWG",
        "volume_in3": "1.50",
        "source": "nec_314_16_b",
        "citation": "NFPA 70 (2023), Table 314.16(B)(1)",
        "status": "seen",
    }
    assert len(rows) == 7


def test_the_list_comes_as_csv() -> None:
    rows = list(csv.DictReader(io.StringIO(run("--csv").output)))

    assert [row["table"] for row in rows] == [table.name for table in usecases.list_tables()]
    assert all(int(row["from_memory"]) <= int(row["rows"]) for row in rows)


def test_an_unknown_table_is_refused_with_what_is_near() -> None:
    result = run("boxes_of_wood")

    assert result.exit_code == 2
    assert "There is no table 'boxes_of_wood'" in result.stderr
