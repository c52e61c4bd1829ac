"""Fasteners, bits, spacers and boards for every wall."""

from decimal import Decimal
from typing import Any

import pytest
from takeoff_factory import (
    SURFACES,
    codes,
    count,
    hours_of,
    make_job,
    make_run,
    make_whip,
    make_wires,
    on_surface,
    parts_of,
    read_cases,
    taken,
)

from estimator.takeoff.tables import load_take_off_tables
from estimator.units import inches

MASONRY = ("poured_concrete", "concrete_block", "grouted_block", "brick", "stucco_on_block")
HAMMER_WORDS = {"yes": "by hammer drill", "light": "light setting", "no": "by rotary drill"}


@pytest.mark.parametrize(
    "case",
    read_cases("anchors.csv"),
    ids=lambda case: f"{case['surface']} {case['duty']} ({case['source']})",
)
def test_fasteners_are_those_of_practice(case: dict[str, str]) -> None:
    row = load_take_off_tables().anchors[case["surface"], case["duty"]]

    assert (row.fastener, row.diameter, row.hole_in or "", row.hammer) == (
        case["fastener"], case["diameter"], case["hole_in"], case["hammer"],
    )  # fmt: skip
    assert row.embedment_in == Decimal(case["embedment_in"])


@pytest.mark.parametrize("surface", MASONRY)
def test_cabinets_on_masonry_hang_on_quarter_inch_concrete_screws_in_3_16_holes(
    surface: str,
) -> None:
    """Public dealer and how-to pages on masonry screws."""
    result = on_surface(surface)

    screws = [part for part in parts_of(result, "fastener") if "/transfer" in part.asked_by]
    assert {dict(part.attributes)["fastener"] for part in screws} == {"concrete screw"}
    assert {dict(part.attributes)["diameter"] for part in screws} == {"1/4"}
    (bit,) = [
        part
        for part in parts_of(result, "drill_bit")
        if dict(part.attributes)["diameter"] == "3/16"
    ]
    assert dict(bit.attributes)["bit"] == "carbide masonry bit"
    hammer = load_take_off_tables().anchors[surface, "medium"].hammer
    assert hammer in ("yes", "light")
    assert any(HAMMER_WORDS[hammer] in reason.text for reason in bit.because)


@pytest.mark.parametrize("surface", SURFACES)
def test_every_wall_holds_cabinet_box_and_straps_with_long_enough_fasteners(surface: str) -> None:
    result = on_surface(surface)

    asked = {pointer for part in parts_of(result, "fastener") for pointer in part.asked_by}
    assert {"/transfer", "/inlet", "/runs/0"} <= asked
    for part in parts_of(result, "fastener"):
        length = inches(dict(part.attributes)["length_in"])
        for reason in part.because:
            needed = dict(reason.figures).get("length_needed_in")
            assert needed is None or Decimal(needed) <= length
    assert "error" not in {finding.severity for finding in result.findings}


@pytest.mark.parametrize("surface", SURFACES)
@pytest.mark.parametrize("duty", ["light", "medium"])
def test_the_anchor_table_has_every_wall(surface: str, duty: str) -> None:
    tables = load_take_off_tables()

    row = tables.anchors[surface, duty]

    assert tables.fastener_lengths[row.fastener]
    assert row.do_not_use
    assert tables.surfaces[surface].hole_task in tables.labour


def test_stocked_lengths_reach_for_every_wall_and_item() -> None:
    tables = load_take_off_tables()
    gap = tables.allowances["air_gap"].value

    for row in tables.anchors.values():
        longest = tables.fastener_lengths[row.fastener][-1][0]
        thickest = tables.allowances["backboard_thickness"].value if row.backboard else gap + gap
        assert longest >= row.embedment_in + row.finish_in + thickest, row.surface


@pytest.mark.parametrize(
    ("straps", "run_ft", "fasteners"),
    [(1, "6", 3), (11, "106", 13), (20, "196", 22), (21, "206", 24), (30, "296", 33)],
)
def test_spare_fasteners_are_a_tenth_and_at_least_two(
    straps: int, run_ft: str, fasteners: int
) -> None:
    result = taken(make_job(), make_run(run_ft, wall_penetrations=0))

    assert count(result, "raceway_strap") == straps
    assert count(result, "fastener", diameter="3/16") == fasteners


@pytest.mark.parametrize(("run_ft", "bits"), [("196", 1), ("206", 2), ("396", 2), ("406", 3)])
def test_a_masonry_bit_lasts_twenty_holes(run_ft: str, bits: int) -> None:
    result = taken(make_job(), make_run(run_ft, wall_penetrations=0))

    assert count(result, "drill_bit", diameter="5/32") == bits


def test_wood_needs_one_bit_however_many_holes() -> None:
    result = on_surface("stud_drywall", make_run("406", wall_penetrations=0))

    assert count(result, "drill_bit", bit="twist bit", diameter="1/8") == 1


def test_two_hole_straps_take_two_fasteners_each() -> None:
    run = make_run("52", wiring_method="PVC-40", wall_penetrations=0)

    result = taken(make_job(), run)

    assert count(result, "raceway_strap", style="two-hole") == 17
    assert count(result, "fastener", diameter="3/16") == 34 + 4


@pytest.mark.parametrize(("exposure", "spacers"), [("dry", 0), ("damp", 4), ("wet", 4)])
def test_metal_boxes_on_damp_or_wet_masonry_keep_an_air_gap(exposure: Any, spacers: int) -> None:
    """NFPA 70 312.2."""
    job = make_job(inlet_exposure=exposure, inlet_place="indoor")

    result = taken(job)

    assert count(result, "spacer", thickness_in="1/4") == spacers


def test_the_air_gap_and_the_finish_lengthen_the_screw() -> None:
    concrete, stucco = on_surface("poured_concrete"), on_surface("stucco_on_block")

    lengths = [
        {
            pointer: dict(part.attributes)["length_in"]
            for part in parts_of(result, "fastener")
            for pointer in part.asked_by
        }
        for result in (concrete, stucco)
    ]
    assert lengths == [
        {"/transfer": "1-1/4", "/inlet": "1-3/4", "/runs/0": "1-1/4"},
        {"/transfer": "2-1/4", "/inlet": "2-3/4", "/runs/0": "2-1/4"},
    ]


def test_hollow_drywall_gets_a_board_across_the_studs_for_heavy_things() -> None:
    result = on_surface("hollow_drywall")

    assert count(result, "backboard", size_ft="2 x 2", thickness_in="3/4") == 2
    assert count(result, "fastener", fastener="structural wood screw") == 12 + 2
    assert count(result, "fastener", fastener="hollow-wall anchor") == 4 + 2
    assert hours_of(result, "mount_backboard") == Decimal("1.00")
    assert "BACKBOARD_ADDED" in codes(result)


@pytest.mark.parametrize("surface", ["stud_drywall", "hollow_drywall", "steel_stud", "wood_siding"])
def test_a_flush_switch_fits_a_stud_bay(surface: str) -> None:
    job = make_job(surface=surface, transfer_mounting="flush")

    result = taken(job, make_whip(job.circuits, surface=surface))

    assert "SURFACE_CANNOT_HOLD_FLUSH" not in codes(result)
    assert count(result, "nail_plate") == 2
    assert count(result, "drywall_patch", area_sqft="2") == (0 if surface == "wood_siding" else 1)
    assert hours_of(result, "mount_switch_flush") == Decimal("2.50")
    assert any("/transfer" in part.asked_by for part in parts_of(result, "fastener"))


@pytest.mark.parametrize("surface", [*MASONRY, "plywood"])
def test_a_flush_switch_in_a_wall_without_studs_is_an_error(surface: str) -> None:
    job = make_job(surface=surface, transfer_mounting="flush")

    result = taken(job, make_whip(job.circuits))

    (error,) = [one for one in result.findings if one.code == "SURFACE_CANNOT_HOLD_FLUSH"]
    assert error.severity == "error"
    assert error.where == "/transfer"
    assert "stud_drywall" in error.remedy
    assert not any("/transfer" in part.asked_by for part in parts_of(result, "fastener"))


def test_an_outdoor_inlet_on_an_indoor_wall_is_questioned() -> None:
    result = on_surface("stud_drywall")

    assert "SURFACE_NOT_FOR_WEATHER" in codes(result)
    assert "SURFACE_NOT_FOR_WEATHER" not in codes(on_surface("brick"))


def test_a_pull_box_is_fastened_like_a_cabinet() -> None:
    run = make_run(
        "20",
        trade_size="1-1/4",
        segments_ft=(Decimal(10), Decimal(10)),
        conductors=make_wires("4 AWG", "20"),
        wall_penetrations=0,
    )

    result = taken(make_job(), run)

    box = [
        part
        for part in parts_of(result, "fastener")
        if "/runs/0" in part.asked_by and dict(part.attributes)["diameter"] == "1/4"
    ]
    assert sum(part.quantity for part in box) == 8 + 2  # the inlet's four share the line
