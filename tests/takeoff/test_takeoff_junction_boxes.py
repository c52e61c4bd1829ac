"""Boxes where one run goes on in another."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from takeoff_factory import (
    codes,
    count,
    hours_of,
    make_cable_run,
    make_job,
    make_run,
    make_switch_run,
    make_wires,
    parts_of,
    taken,
)

from estimator.takeoff.records import TakeOff


def two_runs(size: str = "10 AWG", *, trade_size: str = "3/4", **first: Any) -> TakeOff:
    """EMT from the inlet through the wall, then NM-B to the switch."""
    outside = make_run(
        "12", trade_size=trade_size, conductors=make_wires(size, "12"), surface="plywood", **first
    )
    inside = make_cable_run("NM-B", "20", size=size, index=1, surface="plywood")
    return taken(make_job(surface="plywood"), outside, inside)


def test_cable_changes_to_raceway_in_a_box_with_its_splices() -> None:
    """NFPA 70 300.15; 6 x 2.5 + clamps 2.5 + grounds 2.5 = 20 in3: 4 in square, 30.3 in3."""
    result = two_runs()

    (box,) = parts_of(result, "box")
    assert dict(box.attributes) == {"box": "4 x 2-1/8 square", "enclosure": "1"}
    assert box.asked_by == ("/runs/0", "/runs/1")
    assert dict(box.because[0].figures)["volume_in3"] == "20"
    assert count(result, "twist_on_connector", conductors="2 x 10 AWG") == 3
    assert count(result, "twist_on_connector", conductors="3 x 10 AWG") == 1
    assert count(result, "ground_screw") == 1
    assert hours_of(result, "junction_box") == Decimal("0.60")


def test_runs_that_join_have_make_up_landings_and_washers_at_their_outer_ends_only() -> None:
    result = two_runs()

    (cable,) = parts_of(result, "cable")
    assert cable.cuts_ft == (Decimal("26.5"),)  # (20 + 1 in the box + 3) x 1.1
    wires = {cut for part in parts_of(result, "conductor") for cut in part.cuts_ft}
    assert wires == {Decimal("15.5")}  # (12 + 1 + 1) x 1.1 = 15.4
    landed = sum(task.quantity for task in result.labour if task.code == "terminate_small")
    assert landed == 2
    assert count(result, "cable_connector") == 2


@pytest.mark.parametrize(("walls", "enclosure", "seals"), [(1, "1", 1), (0, "3R", 2)])
def test_the_box_is_rain_tight_where_it_stands_outside(
    walls: int, enclosure: str, seals: int
) -> None:
    result = two_runs(wall_penetrations=walls)

    assert count(result, "box", enclosure=enclosure) == 1
    assert count(result, "locknut", style="sealing") == seals


def test_large_wires_are_spliced_in_a_box_six_times_as_long_as_the_raceway() -> None:
    """NFPA 70 314.28(A)(2): 6 x 1-1/4 is 7-1/2 in."""
    result = two_runs("4 AWG", trade_size="1-1/4", wall_penetrations=0)

    assert count(result, "box", box="8 x 8 x 4") == 1
    assert count(result, "splicing_connector", ports="2") == 3
    assert count(result, "splicing_connector", ports="3") == 1  # its grounds are 4 and 10 AWG


def test_aluminium_is_spliced_by_connectors_for_both_metals() -> None:
    outside = make_run("12", surface="plywood", conductors=make_wires("8 AWG", "12"))
    al = tuple(replace(wire, material="al") for wire in outside.conductors)
    inside = make_cable_run("SER", "20", size="8 AWG", ground="8 AWG", index=1, surface="plywood")

    result = taken(make_job(surface="plywood"), replace(outside, conductors=al), inside)

    assert count(result, "twist_on_connector", conductors="2 x 8 AWG") == 0
    assert count(result, "splicing_connector", takes="14 AWG to 2/0 AWG", ports="2") == 3
    assert count(result, "splicing_connector", ports="3") == 1


def test_runs_of_two_ways_do_not_join() -> None:
    job = make_job(transfer_factory_whip=False)

    result = taken(job, make_run(), make_switch_run(job.circuits))

    assert not parts_of(result, "box")


def test_a_box_beyond_stock_is_told_and_the_rest_is_there() -> None:
    wires = make_wires("500 kcmil", "12")
    first = make_run("12", trade_size="4", conductors=wires, wall_penetrations=0)
    second = replace(first, index=1)

    result = taken(make_job(), first, second)

    assert "JUNCTION_BOX_NOT_TAKEN_OFF" in codes(result)
    assert count(result, "splicing_connector", takes="6 AWG to 500 kcmil") == 4
