"""Consumables by what uses them up, seals, drains and the dust of holes."""

from decimal import Decimal
from math import ceil
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from takeoff_factory import (
    SURFACES,
    codes,
    count,
    make_cable_run,
    make_job,
    make_run,
    make_wires,
    on_surface,
    parts_of,
    taken,
)

from estimator.job.records import WiringMethod
from estimator.takeoff.records import TakeOff

SILICA = {
    "poured_concrete", "concrete_block", "grouted_block", "brick", "stucco_on_block",
    "stucco_on_frame",
}  # fmt: skip


def used(result: TakeOff, consumable: str) -> Decimal:
    return count(result, "consumable", consumable=consumable)


@given(
    st.lists(st.integers(min_value=10, max_value=300), min_size=1, max_size=4),
    st.sampled_from([("1/2", "0.5"), ("3/4", "0.75"), ("1-1/2", "1.5")]),
)
def test_lubricant_goes_by_length_and_bore_of_all_hard_pulls(
    lengths: list[int], size: tuple[str, str]
) -> None:
    """Memory: a quart for about 160 ft of 1 in raceway, more bore more of it."""
    trade_size, bore = size
    runs = [
        make_run(str(length), index=place, trade_size=trade_size, wall_penetrations=0)
        for place, length in enumerate(lengths)
    ]

    result = taken(make_job(), *runs)

    needed = sum(ceil(length * float(bore)) for length in lengths if length > 50)
    assert used(result, "wire-pulling lubricant") == ceil(needed / 160)


@pytest.mark.parametrize(("runs", "rolls"), [(1, 1), (6, 1), (7, 2), (12, 2)])
def test_a_roll_of_tape_does_for_six_pulls(runs: int, rolls: int) -> None:
    pulls = [make_run("10", index=place, wall_penetrations=0) for place in range(runs)]

    assert used(taken(make_job(), *pulls), "electrical tape") == rolls


@pytest.mark.parametrize(
    ("size", "runs", "sets"), [("6 AWG", 1, 0), ("4 AWG", 1, 1), ("2 AWG", 4, 1), ("2 AWG", 5, 2)]
)
def test_marking_tape_goes_by_the_ends_that_are_not_black(size: str, runs: int, sets: int) -> None:
    """Red, white and green of four wires: six ends a run, 24 a set. NFPA 70 200.6(B), 250.119."""
    pulls = [
        make_run(
            "10", index=place, trade_size="2", wall_penetrations=0, conductors=make_wires(size)
        )
        for place in range(runs)
    ]

    assert used(taken(make_job(), *pulls), "marking tape set") == sets


@pytest.mark.parametrize(("walls", "tubes"), [(0, 1), (3, 1), (4, 2), (7, 2), (8, 3)])
def test_a_tube_of_sealant_does_for_four_places(walls: int, tubes: int) -> None:
    result = taken(make_job(), make_run("60", wall_penetrations=walls))

    assert used(result, "exterior sealant") == tubes


@pytest.mark.parametrize("surface", SURFACES)
def test_dust_of_masonry_and_stucco_is_taken_up(surface: str) -> None:
    """29 CFR 1926.1153: vacuum with a fine filter; a respirator where that is not enough."""
    result = on_surface(surface)

    dusty = surface in SILICA
    assert used(result, "fine-dust vacuum bag") == (1 if dusty else 0)
    tools = {tool.tool for tool in result.tools}
    assert ({"dust_vacuum", "respirator"} <= tools) is dusty
    assert ("hammer_drill" in tools) is (dusty and surface != "stucco_on_frame")


def test_bags_go_by_the_holes() -> None:
    """37 straps of one hole, 8 of the cabinets, and walls that count as twenty each."""
    few, many = (taken(make_job(), make_run("360", wall_penetrations=walls)) for walls in (2, 5))

    for result, walls in ((few, 2), (many, 5)):
        holes = int(count(result, "raceway_strap")) + 8 + 20 * walls
        assert used(result, "fine-dust vacuum bag") == ceil(holes / 100)


@pytest.mark.parametrize("surface", SURFACES)
@pytest.mark.parametrize("flush", ["inlet", "transfer"])
def test_an_opening_in_an_outer_wall_has_what_cuts_it(surface: str, flush: str) -> None:
    """Common practice: a drywall saw goes through board only; stucco is cut with its dust taken."""
    job = make_job(surface=surface, **{f"{flush}_mounting": "flush"})

    result = taken(job, make_run(wall_penetrations=0, surface="plywood"))

    blades = used(result, "bi-metal reciprocating saw blade")
    wheels = used(result, "diamond cutting wheel")
    assert blades == (1 if surface in ("wood_siding", "metal_siding") else 0)
    assert wheels == (1 if surface == "stucco_on_frame" else 0)
    asked = {tool.tool for tool in result.tools}
    assert ("reciprocating_saw" in asked) is bool(blades)
    assert ("angle_grinder" in asked) is bool(wheels)
    assert not wheels or "dust_vacuum" in asked


@pytest.mark.parametrize("method", ["RMC", "IMC"])
@pytest.mark.parametrize(
    ("run_ft", "exposure", "place", "oil", "compound"),
    [
        ("18", "dry", "indoor", 1, 0),
        ("18", "damp", "indoor", 1, 1),
        ("18", "wet", "outdoor", 1, 1),
        ("20", "wet", "outdoor", 0, 0),
    ],
)
def test_threads_cut_on_site_take_oil_and_where_it_is_not_dry_a_coat(
    method: WiringMethod, run_ft: str, exposure: Any, place: Any, oil: int, compound: int
) -> None:
    """NFPA 70 300.6(A), memory; a stick of 10 ft comes threaded at both ends."""
    run = make_run(
        run_ft, wiring_method=method, wall_penetrations=0, exposure=exposure, place=place
    )

    result = taken(make_job(), run)

    assert used(result, "thread-cutting oil") == oil
    assert used(result, "conductive thread compound") == compound


def test_conduit_that_is_not_threaded_takes_no_thread_oil() -> None:
    for method in ("EMT", "PVC-40", "LFMC"):
        assert (
            used(taken(make_job(), make_run("18", wiring_method=method)), "thread-cutting oil") == 0
        )


@pytest.mark.parametrize("method", ["PVC-40", "RMC", "EMT", "UF-B"])
def test_what_comes_out_of_the_earth_is_plugged_at_both_ends(method: WiringMethod) -> None:
    """NFPA 70 300.5(G): two plugs a run beside one a wall, four to a block."""
    buried: dict[str, Any] = {"place": "underground", "exposure": "wet"}

    def blocks(runs: int, walls: int) -> Decimal:
        changes = {**buried, "wall_penetrations": walls}
        made = [
            make_cable_run("UF-B", "30", index=place, **changes)
            if method == "UF-B"
            else make_run("30", index=place, wiring_method=method, **changes)
            for place in range(runs)
        ]
        return used(taken(make_job(), *made), "duct seal")

    assert (blocks(1, 0), blocks(1, 1), blocks(1, 2), blocks(1, 3)) == (1, 1, 1, 2)
    assert (blocks(2, 0), blocks(3, 0)) == (1, 2)


@pytest.mark.parametrize(
    ("changes", "drained"),
    [
        ({}, True),
        ({"wall_penetrations": 0}, False),
        ({"place": "indoor", "exposure": "dry"}, False),
        ({"place": "underground"}, False),
    ],
)
def test_the_lowest_box_or_body_outdoors_gets_a_drain_opening(
    changes: dict[str, Any], drained: bool
) -> None:
    """NFPA 70 314.15: 1/8 to 1/4 in."""
    result = taken(make_job(), make_run(**changes))

    bit = {"bit": "twist bit", "diameter": "1/8"}
    assert count(result, "drill_bit", **bit) == (1 if drained else 0)
    outdoors = changes.get("place", "outdoor") == "outdoor"
    assert ("RACEWAY_DRAIN" in codes(result)) is outdoors


@pytest.mark.parametrize(
    ("walls", "mounting", "seals"), [(1, "surface", 1), (0, "surface", 2), (0, "flush", 1)]
)
def test_every_entry_in_the_weather_has_a_sealing_locknut(
    walls: int, mounting: str, seals: int
) -> None:
    """NFPA 70 312.2: inlet and switch outside; one set into the wall is entered from within."""
    job = make_job(surface="wood_siding", transfer_mounting=mounting)

    result = taken(job, make_run(wall_penetrations=walls, surface="wood_siding"))

    assert count(result, "locknut", style="sealing") == seals


def test_what_must_not_hold_a_thing_is_told_with_its_reason() -> None:
    for surface in SURFACES:
        for part in parts_of(on_surface(surface), "fastener"):
            texts = [reason.text for reason in part.because if "; not " in reason.text]
            assert texts, (surface, part.description)
            for text in texts:
                forbidden, _, why = text.split("; not ")[1].partition(": ")
                assert forbidden and len(why.split()) >= 4


def test_holes_in_masonry_are_drilled_deeper_than_the_screw_goes() -> None:
    """Memory: half an inch beyond the screw. 1-1/4 in screw under 1/8 in of strap."""
    (bit,) = [
        part
        for part in parts_of(on_surface("poured_concrete"), "drill_bit")
        if dict(part.attributes)["diameter"] == "5/32"
    ]

    depths = [dict(reason.figures).get("hole_depth_in") for reason in bit.because]
    assert "1.625" in depths
