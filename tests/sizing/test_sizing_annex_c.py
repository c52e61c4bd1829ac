"""Most conductors of one size in a raceway, against the counts of Annex C."""

from decimal import Decimal
from itertools import groupby

import pytest
from sizing_cases import read_cases
from sizing_jobs import TABLES

from estimator.sizing.fill import max_same_size_count


def groups():
    rows = [
        row
        for name in ("annex_c_counts.csv", "annex_c_memory.csv", "annex_c_recomputed.csv")
        for row in read_cases(name)
    ]
    keys = ("raceway", "insulation", "size", "source")
    rows.sort(key=lambda row: tuple(row[key] for key in keys))
    for key, found in groupby(rows, key=lambda row: tuple(row[key] for key in keys)):
        raceway, insulation, size, source = key
        yield pytest.param(list(found), id=f"{raceway} {insulation} {size} ({source})")


@pytest.mark.parametrize("rows", list(groups()))
def test_count_is_that_of_annex_c(rows):
    expected = {row["trade_size"]: int(row["max_conductors"]) for row in rows}
    conductor = TABLES.dimensions[rows[0]["insulation"]][rows[0]["size"]]
    inside = dict(TABLES.raceways[rows[0]["raceway"]])

    counts = {
        trade_size: max_same_size_count(inside[trade_size], conductor.area_in2, TABLES)
        for trade_size in expected
    }

    assert counts == expected


def test_raceway_too_small_for_one_conductor_holds_none():
    conductor = TABLES.dimensions["THHN/THWN-2"]["500 kcmil"]
    inside = dict(TABLES.raceways["EMT"])["1/2"]

    count = max_same_size_count(inside, conductor.area_in2, TABLES)

    assert count == 0


def test_nipple_holds_more_than_a_raceway():
    conductor = TABLES.dimensions["THHN/THWN-2"]["12 AWG"]
    inside = dict(TABLES.raceways["EMT"])["1/2"]

    in_nipple = max_same_size_count(inside, conductor.area_in2, TABLES, nipple=True)

    exact = inside * inside * Decimal("0.7853981634") * Decimal("0.6") / conductor.area_in2
    assert in_nipple == 13 == int(exact)


def test_six_raceways_six_sizes_and_three_insulations_are_counted():
    covered = {}
    for rows in (case.values[0] for case in groups()):
        for row in rows:
            kinds = covered.setdefault(row["raceway"], {})
            kinds.setdefault(row["insulation"], set()).add(row["size"])

    full = [
        raceway
        for raceway, kinds in covered.items()
        if sum(len(sizes) >= 6 for sizes in kinds.values()) >= 3
    ]

    assert len(full) >= 6
