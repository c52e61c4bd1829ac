"""Straps: the least legal count, checked against a search over every placing on a grid."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from takeoff_factory import count, make_job, make_run, make_whip, make_wires, taken

from estimator.takeoff.supports import least_supports

QUARTER = Decimal("0.25")
RULES = ((3, "10"), (3, "3"), (3, "5"), (1, "4.5"), (1, "3"))


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


def test_buried_conduit_has_no_straps_but_a_trench() -> None:
    run = make_run("40", wiring_method="PVC-40", place="underground", wall_penetrations=0)

    result = taken(make_job(), run)

    assert count(result, "raceway_strap") == 0
    assert [task.quantity for task in result.labour if task.code == "trench"] == [4]


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
