"""Raceway, couplings, connectors, bodies and entries."""

import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from takeoff_factory import (
    WHY,
    codes,
    count,
    hours_of,
    long_box,
    make_job,
    make_run,
    make_switch_run,
    make_wires,
    on_surface,
    parts_of,
    read_cases,
    roomy_box,
    taken,
)

from estimator.sizing.records import PullBox, TransferDesign
from estimator.takeoff.raceway_plan import elbow_angles

CASES = read_cases("counts.csv")
DRY = {"place": "indoor", "exposure": "dry"}


def degrees(text: str) -> tuple[Decimal, ...]:
    return (Decimal(text),) if text else ()


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['case']} ({case['source']})")
def test_counts_of_common_practice_and_the_code(case: dict[str, str]) -> None:
    run = make_run(
        case["length_ft"],
        wiring_method=case["method"],
        trade_size=case["trade_size"],
        bends_deg=degrees(case["bends_deg"]),
        wall_penetrations=0,
        **DRY,
    )

    result = taken(make_job(), run)

    if case["quantity_of"] == "pieces":
        (raceway,) = parts_of(result, "raceway")
        assert len(raceway.cuts_ft) == int(case["expected"])
    else:
        assert count(result, case["quantity_of"]) == int(case["expected"])


@given(st.lists(st.integers(min_value=1, max_value=300), min_size=1, max_size=4))
def test_couplings_are_one_less_than_the_sticks_of_each_segment(tenths: list[int]) -> None:
    segments = tuple(Decimal(number) / 4 for number in tenths)
    run = make_run(str(sum(segments)), segments_ft=segments, wall_penetrations=0)

    result = taken(make_job(), run)

    (raceway,) = parts_of(result, "raceway")
    assert count(result, "raceway_coupling") == sum(math.ceil(one / 10) - 1 for one in segments)
    assert sum(raceway.cuts_ft) == raceway.quantity == sum(segments)
    assert max(raceway.cuts_ft) <= 10


STICKS = {"EMT": False, "PVC-40": True, "PVC-80": True, "RMC": True, "IMC": True}


@given(
    st.sampled_from(sorted(STICKS)),
    st.lists(st.integers(min_value=1, max_value=240), min_size=1, max_size=3),
    st.lists(st.sampled_from([30, 45, 90, 180]), max_size=4),
    st.integers(min_value=0, max_value=2),
    st.sampled_from(["10 AWG", "4 AWG"]),
)
def test_joints_of_every_rigid_raceway_add_up_end_by_end(
    method: str, quarters: list[int], bends: list[int], walls: int, size: str
) -> None:
    """Counts the ends of all pieces and elbows: each is in a box, in a body or in a joint."""
    segments = tuple(Decimal(number) / 4 for number in quarters)
    run = make_run(
        str(sum(segments)),
        wiring_method=method,
        trade_size="1-1/4",
        segments_ft=segments,
        bends_deg=tuple(map(Decimal, bends)),
        wall_penetrations=walls,
        conductors=make_wires(size),
    )

    result = taken(make_job(), run)

    (raceway,) = parts_of(result, "raceway")
    elbows = sum(math.ceil(bend / 90) for bend in bends)
    assert count(result, "elbow") == elbows
    assert sum(raceway.cuts_ft) == sum(segments)
    assert count(result, "conduit_body") + count(result, "box") == walls + len(segments) - 1
    assert (count(result, "box") == 0) is (size == "10 AWG" or not walls + len(segments) - 1)
    # Each stick of a segment but its last is joined to the next, each elbow once more.
    joints = sum(math.ceil(one / 10) - 1 for one in segments)
    assert len(raceway.cuts_ft) == joints + len(segments)
    own = joints if STICKS[method] else 0
    assert count(result, "raceway_coupling") == joints + elbows - own
    ends = 2 * (1 + count(result, "box"))
    assert count(result, "insulating_bushing") == ends
    bodies = 2 * count(result, "conduit_body")
    connectors = {"EMT": ends + bodies, "PVC-40": ends, "PVC-80": ends, "RMC": 0, "IMC": 0}
    assert count(result, "raceway_connector") == connectors[method]
    locknuts = {"EMT": 0, "PVC-40": ends, "PVC-80": ends, "RMC": 2 * ends, "IMC": 2 * ends}
    assert count(result, "locknut", style="steel") == max(
        0, locknuts[method] - count(result, "locknut", style="sealing")
    )
    # Without a wall between them the switch hangs in the weather as the inlet does.
    outside = 1 if walls else 2
    assert count(result, "locknut", style="sealing") == outside + 2 * count(result, "box")


@given(
    st.sampled_from(["EMT", "FMC", "LFMC", "LFNC-B", "ENT"]),
    st.integers(min_value=1, max_value=3),
    st.integers(min_value=0, max_value=2),
)
def test_connectors_are_two_for_each_length_between_boxes_and_bodies(
    method: str, segments: int, walls: int
) -> None:
    run = make_run(
        str(12 * segments),
        wiring_method=method,
        segments_ft=(Decimal(12),) * segments,
        wall_penetrations=walls,
    )

    result = taken(make_job(), run)

    assert count(result, "raceway_connector") == 2 * (segments + walls)
    bodies = count(result, "conduit_body", shape="LB")
    assert bodies == walls


def test_pvc_and_threaded_bodies_take_no_connectors() -> None:
    segments = (Decimal(20), Decimal(20))
    pvc = make_run("40", wiring_method="PVC-40", segments_ft=segments)
    rigid = make_run("40", wiring_method="RMC", segments_ft=segments)

    in_pvc, in_rigid = taken(make_job(), pvc), taken(make_job(), rigid)

    assert count(in_pvc, "raceway_connector") == 2
    assert count(in_rigid, "raceway_connector") == 0
    assert count(in_pvc, "conduit_body") == count(in_rigid, "conduit_body") == 2


@pytest.mark.parametrize(
    ("place", "exposure", "style"),
    [
        ("indoor", "dry", "set-screw"),
        ("indoor", "damp", "set-screw"),
        ("indoor", "wet", "compression rain-tight"),
        ("outdoor", "dry", "compression rain-tight"),
    ],
)
def test_emt_fittings_are_rain_tight_outdoors_and_where_it_is_wet(
    place: Any, exposure: Any, style: str
) -> None:
    """NFPA 70 358.42."""
    result = taken(make_job(), make_run("18", place=place, exposure=exposure))

    for kind in ("raceway_connector", "raceway_coupling"):
        assert count(result, kind, style=style) == count(result, kind) > 0


@pytest.mark.parametrize(
    ("size", "shape", "boxes", "bodies"), [("6 AWG", "C", 0, 1), ("4 AWG", "C", 1, 0)]
)
def test_a_pull_point_is_a_conduit_body_up_to_6_awg_and_a_box_from_4_awg(
    size: str, shape: str, boxes: int, bodies: int
) -> None:
    """NFPA 70 314.28(A)(1)."""
    run = make_run(
        "30",
        trade_size="1-1/4",
        segments_ft=(Decimal(15), Decimal(15)),
        wall_penetrations=0,
        conductors=make_wires(size, "30"),
        pull_box=long_box("10") if size == "4 AWG" else roomy_box("30"),
    )

    result = taken(make_job(), run)

    assert count(result, "conduit_body", shape=shape) == bodies
    assert count(result, "box", box="10 x 10 x 4", enclosure="3R") == boxes
    assert count(result, "insulating_bushing") == 2 + 2 * boxes
    assert count(result, "ground_screw") == boxes


@pytest.mark.parametrize(
    ("trade_size", "inches", "box"),
    [
        ("3/4", "6", "6 x 6 x 4"),
        ("1", "8", "8 x 8 x 4"),
        ("1-1/4", "10", "10 x 10 x 4"),
        ("1-1/2", "12", "12 x 12 x 4"),
        ("2", "16", "18 x 18 x 6"),
        ("2-1/2", "20", "24 x 24 x 6"),
        ("3", "24", "24 x 24 x 8"),
    ],
)
def test_a_pull_box_is_as_long_as_the_design_asks(trade_size: str, inches: str, box: str) -> None:
    """NFPA 70 314.28(A)(1)."""
    run = make_run(
        "30",
        trade_size=trade_size,
        segments_ft=(Decimal(15), Decimal(15)),
        wall_penetrations=0,
        conductors=make_wires("4 AWG", "30"),
        pull_box=long_box(inches),
    )

    result = taken(make_job(), run)

    assert count(result, "box", box=box) == 1


@pytest.mark.parametrize(
    ("volume", "box"), [("20", "6 x 6 x 4"), ("144", "6 x 6 x 4"), ("144.25", "8 x 8 x 4")]
)
def test_a_box_for_small_wires_has_the_volume_that_the_design_asks(volume: str, box: str) -> None:
    """NFPA 70 314.16."""
    run = make_run(
        "30",
        wiring_method="LFMC",
        segments_ft=(Decimal(15), Decimal(15)),
        wall_penetrations=0,
        pull_box=roomy_box(volume),
    )

    result = taken(make_job(), run)

    assert count(result, "box", box=box) == 1


def test_a_pull_box_longer_than_any_in_stock_is_told() -> None:
    run = make_run(
        "30",
        trade_size="4",
        segments_ft=(Decimal(15), Decimal(15)),
        wall_penetrations=0,
        conductors=make_wires("500 kcmil", "30"),
        pull_box=long_box("32"),
    )

    result = taken(make_job(), run)

    told = next(found for found in result.findings if found.code == "PULL_BOX_NOT_TAKEN_OFF")
    assert "32 in long inside" in told.message
    assert count(result, "box") == 0


def test_wire_makes_up_in_each_pull_box_it_passes() -> None:
    run = make_run(
        "30",
        trade_size="1-1/4",
        segments_ft=(Decimal(15), Decimal(15)),
        wall_penetrations=0,
        conductors=make_wires("4 AWG", "30"),
    )

    result = taken(make_job(), run)

    cuts = {cut for part in parts_of(result, "conductor") for cut in part.cuts_ft}
    assert cuts == {Decimal("38.5")}  # (30 + 1 + 3 + 1) x 1.1


@pytest.mark.parametrize(
    ("bends", "angles"),
    [
        ((), ()),
        ((90,), (90,)),
        ((180,), (90, 90)),
        ((130,), (90, 45)),
        ((45, 45), (45, 45)),
        ((30,), (30,)),
        ((46,), (90,)),
        ((100,), (90, 30)),
    ],
)
def test_bends_are_made_of_stock_elbows(bends: tuple[int, ...], angles: tuple[int, ...]) -> None:
    assert elbow_angles(tuple(map(Decimal, bends))) == tuple(map(Decimal, angles))


@pytest.mark.parametrize(
    ("method", "trade_size", "elbows"),
    [
        ("EMT", "1", 0),
        ("EMT", "1-1/4", 2),
        ("RMC", "1", 0),
        ("RMC", "1-1/4", 2),
        ("PVC-40", "1/2", 2),
    ],
)
def test_small_metal_conduit_is_bent_by_hand_and_the_rest_has_elbows(
    method: str, trade_size: str, elbows: int
) -> None:
    run = make_run(
        "30", wiring_method=method, trade_size=trade_size, bends_deg=(Decimal(90), Decimal(90))
    )

    result = taken(make_job(), run)

    assert count(result, "elbow", angle_deg="90") == elbows
    bent = [task.quantity for task in result.labour if task.code == "field_bend"]
    assert bent == ([] if elbows else [2])


def test_a_short_rigid_run_between_two_enclosures_is_a_nipple() -> None:
    """NFPA 70 Chapter 9 note 4: up to 24 in."""
    job = make_job()
    run = make_switch_run(job.circuits, wiring_method="RMC", trade_size="1")

    result = taken(job, make_run(wall_penetrations=0), run)

    assert count(result, "nipple", length_in="18", trade_size="1") == 1
    assert count(result, "locknut", trade_size="1", style="steel") == 4
    assert count(result, "insulating_bushing", trade_size="1") == 2
    assert count(result, "raceway_strap", trade_size="1") == 0
    assert count(result, "raceway", trade_size="1") == 0


def test_flexible_conduit_is_one_whole_piece_and_has_an_insert_at_each_cut_end() -> None:
    job = make_job()
    run = make_switch_run(job.circuits, length_ft="5.2", nipple=False)

    result = taken(job, make_run(wall_penetrations=0), run)

    (whip,) = parts_of(result, "flexible_raceway")
    assert whip.cuts_ft == (Decimal("5.5"),)
    assert count(result, "anti_short_bushing", trade_size="1") == 2
    assert count(result, "insulating_bushing", trade_size="1") == 0


def test_the_knockout_of_a_large_switch_is_reduced_to_a_small_raceway() -> None:
    large = TransferDesign("manual_switch", 30, 10, 6, 6, WHY)

    result = taken(make_job(), make_run(trade_size="3/4"), transfer=large)

    assert count(result, "reducing_washer", knockout="1", trade_size="3/4") == 2


def test_a_raceway_larger_than_the_knockouts_is_told_and_its_work_counted() -> None:
    result = taken(make_job(), make_run(trade_size="1"))

    assert "KNOCKOUT_TO_ENLARGE" in codes(result)
    assert hours_of(result, "enlarge_knockout") == Decimal("0.60")


def test_pvc_gets_cement_by_its_glued_joints() -> None:
    few = make_run("40", wiring_method="PVC-40", wall_penetrations=0)  # 3 bells + 2 adapters
    many = make_run("290", wiring_method="PVC-40", wall_penetrations=0)  # 28 bells + 2 adapters
    more = make_run("300", wiring_method="PVC-40", wall_penetrations=1)

    cans = [
        count(taken(make_job(), run), "consumable", consumable="PVC cement and primer")
        for run in (few, many, more)
    ]

    assert cans == [1, 1, 2]


def test_expansion_fittings_of_the_design_are_parts() -> None:
    run = make_run(
        "90",
        wiring_method="PVC-40",
        expansion_fittings=2,
        expansion_change_in=Decimal("4.4"),
    )

    result = taken(make_job(), run)

    assert count(result, "expansion_fitting", raceway="PVC", travel_in="4") == 2
    assert hours_of(result, "fitting_or_pull_box") == Decimal("0.70")


def test_large_wires_turn_into_a_wall_in_a_box_as_wide_as_the_design_asks() -> None:
    """NFPA 70 314.28(A)(2): 6 x 2 in is 12 in; conduit bodies only up to 6 AWG."""
    asked = PullBox(None, Decimal(12), None, None, WHY)
    run = make_run(trade_size="2", conductors=make_wires("1/0 AWG"), pull_box=asked)

    result = taken(make_job(), run)

    assert count(result, "conduit_body") == 0
    assert count(result, "box", box="18 x 18 x 6", enclosure="3R") == 1
    assert count(result, "insulating_bushing") == 4


@pytest.mark.parametrize(
    ("method", "size", "inserts", "bushings"),
    [
        ("FMC", "6 AWG", 2, 0), ("FMC", "4 AWG", 2, 2), ("LFMC", "4 AWG", 0, 0),
        ("LFNC-B", "4 AWG", 0, 0), ("ENT", "4 AWG", 0, 0), ("EMT", "4 AWG", 0, 2),
        ("EMT", "10 AWG", 0, 2),
    ],
)  # fmt: skip
def test_wire_leaves_over_a_bushing_or_a_throat_but_never_both(
    method: str, size: str, inserts: int, bushings: int
) -> None:
    """NFPA 70 300.4(G)."""
    run = make_run(
        wiring_method=method,
        trade_size="1-1/4",
        conductors=make_wires(size),
        wall_penetrations=0,
        **DRY,
    )

    result = taken(make_job(), run)

    assert count(result, "anti_short_bushing") == inserts
    assert count(result, "insulating_bushing") == bushings


def test_the_wet_entry_of_the_inlet_is_sealed_and_the_dry_one_is_not() -> None:
    wet = taken(make_job(), make_run(wiring_method="PVC-40"))
    dry = taken(
        make_job(inlet_place="indoor", inlet_exposure="dry"),
        make_run(wiring_method="PVC-40", **DRY),
    )

    assert count(wet, "locknut", style="sealing") == 1
    assert count(wet, "locknut", style="steel") == 1
    assert count(dry, "locknut", style="sealing") == 0
    assert count(dry, "locknut", style="steel") == 2


def test_each_wall_takes_a_hole_a_body_and_a_plug_of_seal() -> None:
    one, five = (taken(make_job(), make_run("50", wall_penetrations=walls)) for walls in (1, 5))

    assert count(one, "conduit_body", shape="LB") == 1
    assert count(five, "conduit_body", shape="LB") == 5
    assert count(one, "consumable", consumable="duct seal") == 1
    assert count(five, "consumable", consumable="duct seal") == 2
    assert hours_of(five, "hole_masonry") == 5 * hours_of(one, "hole_masonry")


def test_siding_takes_a_block_at_the_box_and_at_the_hole_and_no_spacers() -> None:
    result = on_surface("wood_siding")

    assert count(result, "mounting_block") == 2
    assert count(result, "spacer") == 0


def test_a_raceway_without_a_trade_size_is_an_error_and_its_wire_still_counts() -> None:
    result = taken(make_job(), make_run(trade_size=None))

    assert "RACEWAY_NOT_TAKEN_OFF" in codes(result)
    assert count(result, "raceway") == 0
    assert count(result, "conductor") > 0


def test_flexible_metal_conduit_through_a_wall_has_inserts_at_the_conduit_body_too() -> None:
    run = make_run("18", wiring_method="FMC", wall_penetrations=1, **DRY)

    result = taken(make_job(), run)

    (conduit,) = parts_of(result, "flexible_raceway")
    assert conduit.cuts_ft == (Decimal(9), Decimal(9))
    assert count(result, "anti_short_bushing") == 4


@pytest.mark.parametrize(("length", "hours"), [("2", "0.50"), ("6", "0.50"), ("12", "1.00")])
def test_flexible_conduit_takes_at_least_the_work_of_one_piece(length: str, hours: str) -> None:
    run = make_run(length, wiring_method="FMC", wall_penetrations=0, **DRY)

    result = taken(make_job(), run)

    assert hours_of(result, "flexible") == Decimal(hours)
