"""Cables that are fished behind a finished wall and the boxes in which they meet."""

from decimal import Decimal
from typing import Any

import pytest
from takeoff_flow import Taken, quantity, take, tasks

from estimator.takeoff.tables import load_take_off_tables

WALL = {"mounting_surface": "stud_drywall", "run_length_ft": 30}


def fished(outer: dict[str, Any] | None = None, **inner: Any) -> Taken:
    """Two runs of NM-B behind the finished wall, changed in the first and in the second."""
    run = {
        "from": "inlet", "to": "transfer", "wiring_method": "NM-B", "place": "indoor",
        "exposure": "dry", "wall_penetrations": 0, "finished_wall": True,
    }  # fmt: skip
    first = {**run, "length_ft": 18, **(outer or {})}
    return take(**WALL, runs=[first, {**run, "length_ft": 12, **inner}])


def told(taken: Taken) -> set[str]:
    return {finding.code for finding in taken.result.findings}


def test_cables_meet_in_an_old_work_box_that_holds_itself_and_its_cables() -> None:
    """NFPA 70 314.16(B), 314.17(B): 6 x 2.5 + clamps 2.5 + grounds 2.5 = 20 in3, one gang."""
    taken = fished()

    assert quantity(taken, "old_work_box", gangs="1", volume_in3="20") == 1
    assert quantity(taken, "blank_plate", gangs="1") == 1
    assert quantity(taken, "box") == quantity(taken, "ground_screw") == 0
    assert quantity(taken, "cable_connector") == 2  # at the inlet and at the switch
    assert quantity(taken, "twist_on_connector", conductors="2 x 10 AWG") == 3 + 1
    assert (tasks(taken)["cut_in_box"], tasks(taken)["junction_box"]) == (1, 1)
    assert tasks(taken)["cable_fished"] == 2
    assert "BOX_ON_FINISHED_WALL" not in told(taken)


def test_larger_wire_takes_more_gangs() -> None:
    """6 x 5 + clamps 5 + grounds 2.5 = 37.5 in3: 6 AWG for 50 A."""
    taken = take(
        **WALL,
        inlet="14-50",
        runs=[
            {
                "from": "inlet", "to": "transfer", "wiring_method": "NM-B", "place": "indoor",
                "exposure": "dry", "wall_penetrations": 0, "finished_wall": True, "length_ft": 15,
            }
        ]
        * 2,
    )  # fmt: skip

    assert quantity(taken, "old_work_box", gangs="3", volume_in3="53") == 1


@pytest.mark.parametrize(
    ("outer", "inner"),
    [
        ({"wiring_method": "EMT"}, {}),
        ({}, {"wiring_method": "MC"}),
        ({"wiring_method": "UF-B", "place": "underground"}, {}),  # its sleeve ends in the box
    ],
    ids=["raceway", "armoured cable", "sleeve"],
)
def test_what_no_old_work_box_takes_meets_in_a_surface_box_and_says_so(
    outer: dict[str, Any], inner: dict[str, Any]
) -> None:
    taken = fished({**outer, "finished_wall": "place" not in outer}, **inner)

    assert quantity(taken, "box") == 1
    assert quantity(taken, "old_work_box") == 0
    assert "BOX_ON_FINISHED_WALL" in told(taken)


def test_an_open_wall_takes_the_usual_box() -> None:
    taken = fished({"finished_wall": False}, finished_wall=False)

    assert quantity(taken, "box") == quantity(taken, "ground_screw") == 1
    assert quantity(taken, "cable_connector") == 4
    assert "BOX_ON_FINISHED_WALL" not in told(taken)


def test_fished_cable_needs_no_staple_and_says_what_is_not_opened() -> None:
    """NFPA 70 334.30(B)(1)."""
    taken = fished()

    assert quantity(taken, "cable_staple") == 0
    assert quantity(taken, "nail_plate") == 4
    (one, _) = [each for each in taken.result.findings if each.code == "FISHED_WITHOUT_OPENING"]
    assert "patch and paint" in one.message


def test_a_flush_inlet_says_that_its_finish_is_left_out() -> None:
    inlet = {"configuration": "L14-30", "mounting": "flush", "surface": "wood_siding"}
    open_wall = take(inlet={**inlet, "mounting": "surface"})

    assert "INLET_FINISH_EXCLUDED" in told(take(inlet=inlet))
    assert "INLET_FINISH_EXCLUDED" not in told(open_wall)


def test_boxes_get_larger_with_their_gangs() -> None:
    rows = load_take_off_tables().old_work_boxes

    volumes = [row.volume_in3 for row in rows]
    assert volumes == sorted(volumes)
    assert [row.gangs for row in rows] == [1, 2, 3]
    assert all(Decimal(14) * row.gangs <= row.volume_in3 for row in rows)
