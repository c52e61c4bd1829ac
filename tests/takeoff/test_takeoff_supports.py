"""Straps: the least legal count, checked against a search over every placing on a grid."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from takeoff_factory import (
    count,
    make_cable_run,
    make_job,
    make_run,
    make_whip,
    make_wires,
    roomy_box,
    taken,
)

from estimator.takeoff.supports import least_supports
from estimator.takeoff.tables import load_take_off_tables
from estimator.units import inches

QUARTER = Decimal("0.25")
RULES = ((3, "10"), (3, "3"), (3, "5"), (1, "4.5"), (1, "3"), (1, "6"), (6, "6"))
TABLES = load_take_off_tables()
RACEWAYS = ("EMT", "RMC", "IMC", "PVC-40", "PVC-80", "ENT", "FMC", "LFMC", "LFNC-B")
THREADED_FT = (("3/4", 10), ("1", 12), ("1-1/2", 14), ("2-1/2", 16), ("4", 20))
PVC_FT = (("1", 3), ("2", 5), ("3", 6), ("4", 7))


def distances(method: str, trade_size: str, *, straight: bool) -> tuple[int, int]:
    """Greatest distance from a box and between supports, in quarter feet."""

    def up_to(steps: tuple[tuple[str, int], ...]) -> int:
        return next(feet for size, feet in steps if inches(trade_size) <= inches(size))

    if method in ("RMC", "IMC"):
        return 12, 4 * (up_to(THREADED_FT) if straight else 10)
    if method in ("PVC-40", "PVC-80"):
        return 12, 4 * up_to(PVC_FT)
    return {
        "EMT": (12, 40), "ENT": (12, 12), "FMC": (4, 18), "LFMC": (4, 18), "LFNC-B": (4, 12),
    }[method]  # fmt: skip


def fewest_by_search(length: int, end: int, interval: int) -> int:
    """Fewest supports for a stretch, all in quarter feet, trying every place on the grid.

    Ends of the rules are whole quarters, so a best placing lies on the grid.
    """
    reached = {place for place in range(length + 1) if place <= end}
    used = 1
    while not any(length - place <= end for place in reached):
        reached = {
            further
            for place in reached
            for further in range(place, min(place + interval, length) + 1)
        }
        used += 1
    return used


@given(st.integers(min_value=1, max_value=480), st.sampled_from(RULES))
def test_the_strap_count_is_the_least_that_a_search_finds(
    quarters: int, rule: tuple[int, str]
) -> None:
    end, interval = rule

    least = least_supports(quarters * QUARTER, Decimal(end), Decimal(interval))

    assert least == fewest_by_search(quarters, 4 * end, int(4 * Decimal(interval)))


@pytest.mark.parametrize(
    ("length", "straps"),
    [("0", 0), ("0.1", 1), ("6", 1), ("6.01", 2), ("16", 2), ("16.01", 3), ("26", 3), ("26.01", 4)],
)
def test_emt_counts_change_just_past_twice_the_end_distance_and_each_interval(
    length: str, straps: int
) -> None:
    """NFPA 70 358.30(A): within 3 ft of each termination, every 10 ft."""
    assert least_supports(Decimal(length), Decimal(3), Decimal(10)) == straps


def test_a_conduit_body_is_a_termination_of_its_own() -> None:
    straight = taken(make_job(), make_run("18", wall_penetrations=0))
    through_wall = taken(make_job(), make_run("18", wall_penetrations=1))

    assert count(straight, "raceway_strap") == 3
    assert count(through_wall, "raceway_strap") == 4


def test_each_segment_between_pull_points_is_strapped_by_itself() -> None:
    segments = (Decimal(20), Decimal(5))

    result = taken(make_job(), make_run("25", segments_ft=segments, wall_penetrations=0))

    assert count(result, "raceway_strap") == 3 + 1


@given(
    st.sampled_from([key for key in TABLES.supports if key[1] and key[0] in RACEWAYS]),
    st.lists(st.integers(min_value=1, max_value=200), min_size=1, max_size=3),
    st.booleans(),
)
def test_straps_of_every_raceway_and_size_are_the_fewest_that_a_search_finds(
    key: tuple[str, str], quarters: list[int], bent: bool
) -> None:
    """Distances of NFPA 70 written here once more, apart from the table."""
    method, trade_size = key
    segments = tuple(number * QUARTER for number in quarters)
    run = make_run(
        str(sum(segments)),
        wiring_method=method,
        trade_size=trade_size,
        segments_ft=segments,
        bends_deg=(Decimal(90),) if bent else (),
        pull_box=roomy_box("20"),
        wall_penetrations=0,
        surface="plywood",
    )

    result = taken(make_job(surface="plywood"), run)

    end, interval = distances(method, trade_size, straight=not bent)
    free = method == "LFNC-B" and sum(segments) <= 6
    wanted = 0 if free else sum(fewest_by_search(one, end, interval) for one in quarters)
    assert count(result, "raceway_strap") == wanted


@given(
    st.sampled_from(["NM-B", "UF-B", "SER", "MC"]),
    st.sampled_from(["10 AWG", "8 AWG", "6 AWG"]),
    st.integers(min_value=1, max_value=200),
)
def test_supports_of_every_cable_are_the_fewest_that_a_search_finds(
    method: str, size: str, quarters: int
) -> None:
    """NFPA 70 334.30, 340.10(4), 338.10(B)(4) and 330.30: MC from 8 AWG has no end distance."""
    if (method, size) == ("SER", "10 AWG"):
        size = "8 AWG"
    run = make_cable_run(method, str(quarters * QUARTER), size=size, surface="plywood")

    result = taken(make_job(surface="plywood"), run)

    end, interval = (4, 18) if method != "MC" else (4, 24) if size == "10 AWG" else (24, 24)
    supports = count(result, "cable_staple") + count(result, "cable_strap")
    assert supports == fewest_by_search(quarters, end, interval)


@pytest.mark.parametrize(
    ("method", "trade_size", "bends", "straps"),
    [
        ("RMC", "1", (), 4),  # 36 - 6 = 30 ft in threes of 12
        ("RMC", "1", (90,), 4),  # in threes of 10
        ("RMC", "2", (), 3),  # in twos of 16
        ("IMC", "2", (90,), 4),
        ("IMC", "1-1/4", (), 4),  # in threes of 14
        ("EMT", "2", (), 4),
    ],
)
def test_straight_threaded_conduit_is_held_less_often(
    method: Any, trade_size: str, bends: tuple[int, ...], straps: int
) -> None:
    """NFPA 70 344.30(B)(2) with its table, 342.30(B)(2)."""
    run = make_run(
        "36",
        wiring_method=method,
        trade_size=trade_size,
        bends_deg=tuple(map(Decimal, bends)),
        wall_penetrations=0,
    )

    assert count(taken(make_job(), run), "raceway_strap") == straps


@pytest.mark.parametrize(("length", "straps"), [("10", 0), ("10.5", 2)])
def test_fished_emt_needs_no_strap_as_long_as_it_is_unbroken(length: str, straps: int) -> None:
    """NFPA 70 358.30(A) exception 2."""
    run = make_run(length, finished_wall=True, wall_penetrations=0, place="indoor", exposure="dry")

    assert count(taken(make_job(), run), "raceway_strap") == straps


def test_each_expansion_fitting_has_a_strap_of_its_own() -> None:
    plain, moving = (
        taken(make_job(), make_run("40", wiring_method="PVC-40", expansion_fittings=fittings))
        for fittings in (0, 2)
    )

    assert count(moving, "raceway_strap") == count(plain, "raceway_strap") + 2


@pytest.mark.parametrize(("length", "straps"), [("1.5", 0), ("3", 0), ("3.5", 2), ("6.5", 2)])
def test_a_factory_whip_hangs_free_up_to_three_feet(length: str, straps: int) -> None:
    """NFPA 70 348.30(A) exception 2 and the general rule beyond."""
    job = make_job()

    result = taken(job, make_run(wall_penetrations=0), make_whip(job.circuits, length_ft=length))

    assert count(result, "raceway_strap", raceway="FMC") == straps


@pytest.mark.parametrize(("length", "staples"), [("2", 1), ("2.5", 2), ("6.5", 2), ("40", 10)])
def test_nm_b_is_stapled_near_each_box_and_every_four_and_a_half_feet(
    length: str, staples: int
) -> None:
    """NFPA 70 334.30."""
    run = make_run(
        length,
        wiring_method="NM-B",
        trade_size=None,
        place="indoor",
        exposure="dry",
        wall_penetrations=0,
        conductors=make_wires("10 AWG", length, "NM-B"),
    )

    result = taken(make_job(), run)

    assert count(result, "cable_staple", cable="NM-B", style="3/4 in") == staples


def test_cable_fished_in_a_finished_wall_takes_plates_instead_of_staples() -> None:
    run = make_run(
        "20",
        wiring_method="NM-B",
        trade_size=None,
        place="indoor",
        exposure="dry",
        finished_wall=True,
        wall_penetrations=0,
        conductors=make_wires("10 AWG", "20", "NM-B"),
    )

    result = taken(make_job(), run)

    assert count(result, "cable_staple") == 0
    assert count(result, "nail_plate") == 2
    assert "cable_fished" in {task.code for task in result.labour}
