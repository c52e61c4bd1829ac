"""Every table and rule of the package can be shown, each row with its source."""

from pathlib import Path

import pytest

import estimator
from estimator import usecases
from estimator.published.audit import (
    AuditRow,
    UnknownTable,
    find_table,
    read_audit,
    row_status,
)
from estimator.published.sources import load_sources

PACKAGE = Path(estimator.__file__).parent
SOURCES = load_sources()
TABLES = usecases.list_tables()


def test_every_table_file_of_the_package_is_listed() -> None:
    files = {
        path.relative_to(PACKAGE).as_posix()
        for ending in ("*.csv", "*.toml")
        for path in PACKAGE.rglob(ending)
    }

    assert {table.file for table in TABLES} == files


def test_no_two_tables_have_one_name() -> None:
    names = [table.name for table in TABLES]

    assert len(set(names)) == len(names)
    assert names == sorted(names)


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_every_row_has_a_known_source(table) -> None:
    assert table.rows
    for row in table.rows:
        assert row.sources, row
        assert set(row.sources) <= SOURCES.keys(), row
        assert len(row.cells) == len(table.columns)
        assert any(row.cells)


def test_rows_of_a_csv_are_all_its_lines() -> None:
    for table in TABLES:
        if table.file.endswith(".csv"):
            lines = (PACKAGE / table.file).read_text("utf-8").splitlines()
            assert len(table.rows) == len(lines) - 1, table.name


def test_rows_from_memory_are_counted() -> None:
    cords = find_table(TABLES, "sizing.cord_ampacity")
    ampacity = find_table(TABLES, "sizing.ampacity")

    assert cords.count("memory", SOURCES) == len(cords.rows) == 9
    assert ampacity.count("memory", SOURCES) == 0
    assert ampacity.count("seen", SOURCES) == len(ampacity.rows) == 105
    assert 0 < sum(table.count("memory", SOURCES) for table in TABLES) < 1000


def test_a_row_is_as_good_as_the_best_of_its_sources() -> None:
    doubtful = AuditRow((), ("usc_25d_silent", "usc_25d_a"))

    assert SOURCES["usc_25d_silent"].status == "derived"
    assert row_status(doubtful, SOURCES) == "seen"
    assert row_status(AuditRow((), ("memory",)), SOURCES) == "memory"
    assert row_status(AuditRow((), ()), SOURCES) == "memory"
    assert row_status(AuditRow((), ("nowhere",)), SOURCES) == "memory"


def test_a_rule_file_gives_one_row_for_each_table_of_fields() -> None:
    edition = find_table(TABLES, "sizing.editions.2023")

    rows = {row.cells[0]: row for row in edition.rows}
    place = edition.columns.index("value")
    assert rows["inlet_outdoors_max_w"].cells[place] == "15000"
    assert rows["inlet_outdoors_max_w"].sources == ("nec_inlet_outdoors",)
    assert rows["added_standard_ratings_a"].cells[place] == "10"


def test_nested_rules_are_rows_of_their_own() -> None:
    rules = find_table(TABLES, "federal_residential_clean_energy")

    rows = {row.cells[0]: row for row in rules.rows}
    value = rules.columns.index("value")
    assert rows["rate 1"].cells[value] == "0.30"
    assert rows["rate 1"].sources == ("usc_25d_original",)
    assert "usc_25d_e1" in rows["cost.labour_install.verdict 1"].sources


def test_entries_of_the_list_of_sources_are_their_own_source() -> None:
    listed = find_table(TABLES, "published.sources")

    assert {row.sources[0] for row in listed.rows} == SOURCES.keys()


def test_a_table_is_found_by_its_last_word_when_only_one_has_it() -> None:
    assert find_table(TABLES, "ampacity").name == "sizing.ampacity"
    with pytest.raises(UnknownTable, match=r"sizing\.wiring_methods and takeoff\.wiring_methods"):
        find_table(TABLES, "wiring_methods")


def test_an_unknown_table_names_those_near_it() -> None:
    with pytest.raises(UnknownTable, match=r"Near it are .*sizing\.cord_ampacity"):
        find_table(TABLES, "cord")
    with pytest.raises(UnknownTable, match="List the tables"):
        find_table(TABLES, "zzz")


def test_rows_without_a_source_stay_without_one_unless_the_file_is_of_our_own_words() -> None:
    without = find_table(read_audit("estimator", {}), "takeoff.part_kinds")
    with_own = find_table(
        read_audit("estimator", {"takeoff.part_kinds": "own_convention"}), "takeoff.part_kinds"
    )

    assert {row.sources for row in without.rows} == {()}
    assert {row.sources for row in with_own.rows} == {("own_convention",)}
