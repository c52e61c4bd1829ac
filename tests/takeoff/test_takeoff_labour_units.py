"""A contractor's labour table: every fault at once, each with its row."""

import pytest

from estimator.finding import InputRefused
from estimator.published.sources import load_sources
from estimator.takeoff.labour_units import load_labour_units, read_labour_units
from estimator.takeoff.tables import load_take_off_tables

HEADER = "code,task,unit,low_h,typical_h,high_h\n"
GOOD = "permit,apply for the permit,job,0.5,1,2\n"


def faults_of(text: str) -> list[tuple[str, str]]:
    with pytest.raises(InputRefused) as refused:
        read_labour_units(text, "mine.csv")
    return [(fault.where, fault.message) for fault in refused.value.faults]


@pytest.mark.parametrize(
    ("row", "where", "says"),
    [
        ("dig,dig,job,1,1,1", "row 2, column code", "'dig' is not a task we know"),
        ("permit,apply,each,1,1,1", "row 2, column unit", "'each' is not the unit of permit"),
        ("permit,apply,job,-1,1,1", "row 2, column low_h", "-1 hours cannot be"),
        ("permit,apply,job,1,1,1001", "row 2, column high_h", "give 0 to 1000"),
        ("permit,apply,job,1,x,1", "row 2, column typical_h", "'x' is not a number"),
        ("permit,apply,job,1,NaN,1", "row 2, column typical_h", "'NaN' is not a number"),
        ("permit,apply,job,,1,1", "row 2, column low_h", "'' is not a number"),
        ("permit,apply,job,2,1,3", "row 2", "low may not exceed typical"),
        ("permit,apply,job,1,3,2", "row 2", "nor typical high"),
        ("permit,,job,1,1,1", "row 2, column task", "is blank"),
        ("permit,apply,job,1,1", "row 2", "has 5 cells; it must have 6"),
    ],
)
def test_a_faulty_row_is_told_with_its_place_and_the_way_out(
    row: str, where: str, says: str
) -> None:
    (fault,) = faults_of(HEADER + row + "\n")

    assert fault[0] == f"mine.csv, {where}"
    assert says in fault[1]


def test_all_faults_come_together() -> None:
    rows = GOOD + "dig,dig,job,1,1,1\n" + GOOD + "commission,go,job,3,2,1\n"

    faults = faults_of(HEADER + rows)

    assert [where for where, _ in faults] == [
        "mine.csv, row 3, column code", "mine.csv, row 4, column code", "mine.csv, row 5",
    ]  # fmt: skip
    assert "stands in row 2 already" in faults[1][1]


@pytest.mark.parametrize(
    ("text", "where", "says"),
    [
        ("", "mine.csv, row 1", "is empty"),
        (HEADER, "mine.csv, row 2", "is missing"),
        ("code,task,hours\n", "mine.csv, row 1", "they must be code, task, unit"),
        (HEADER + GOOD * 1000, "mine.csv", "the limit is 1000 rows"),
        (HEADER + "x" * 1_000_000, "mine.csv", "characters"),
        (HEADER + '"' + "x" * 200_000 + '",1\n', "mine.csv, row 2", "is not CSV"),
    ],
)
def test_a_file_that_is_no_labour_table_is_refused(text: str, where: str, says: str) -> None:
    fault = faults_of(text)[0]

    assert fault[0] == where
    assert says in fault[1]


def test_a_good_row_takes_the_place_of_ours_and_the_others_stay() -> None:
    units = read_labour_units("\ufeff" + HEADER + "\n" + GOOD, "mine.csv")

    ours = load_labour_units()
    assert units["permit"].high_h == 2
    assert units["permit"].source == "contractor_labour_table"
    assert units["permit"].group == ours["permit"].group
    assert {code: unit for code, unit in units.items() if code != "permit"} == {
        code: unit for code, unit in ours.items() if code != "permit"
    }


def test_a_contractor_may_replace_every_task() -> None:
    ours = load_labour_units()
    rows = "".join(f"{code},{unit.task},{unit.unit},1,2,3\n" for code, unit in ours.items())

    units = read_labour_units(HEADER + rows, "mine.csv")

    assert list(units) == list(ours)
    assert {unit.typical_h for unit in units.values()} == {2}
    assert {unit.source for unit in units.values()} == {"contractor_labour_table"}


def test_our_own_table_is_in_order_and_says_that_it_has_no_source() -> None:
    for unit in load_labour_units().values():
        assert 0 < unit.low_h <= unit.typical_h <= unit.high_h
        assert load_sources()[unit.source].status == "common_practice"


def test_every_factor_names_known_groups_in_order() -> None:
    tables = load_take_off_tables()
    groups = {unit.group for unit in tables.labour.values()}

    for factor in tables.factors.values():
        assert set(factor.groups.split()) <= groups
        assert 0 < factor.low <= factor.typical <= factor.high
