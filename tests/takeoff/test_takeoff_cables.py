"""Cables: what is bought of them, how they enter boxes, and what carries them."""

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
    make_wires,
    parts_of,
    taken,
)

from estimator.takeoff.records import TakeOff
from estimator.takeoff.tables import load_take_off_tables

CABLES = ("NM-B", "UF-B", "SER", "MC")
FRAMED = {"surface": "stud_drywall"}
WEATHER = {"place": "outdoor", "exposure": "wet"}


def taken_cable(method: str, length: str = "20", *, wall: str = "plywood", **run: Any) -> TakeOff:
    return taken(make_job(surface=wall), make_cable_run(method, length, surface=wall, **run))


@pytest.mark.parametrize(
    ("method", "size", "ground", "name"),
    [
        ("NM-B", "10 AWG", "10 AWG", "10/3"),
        ("UF-B", "8 AWG", "10 AWG", "8/3"),
        ("MC", "6 AWG", "8 AWG", "6/3"),
        ("SER", "2 AWG", "4 AWG", "2-2-2-4"),
        ("SER", "1/0 AWG", "2 AWG", "1/0-1/0-1/0-2"),
        ("MC", "1/0 AWG", "6 AWG", "1/0-1/0-1/0-6"),
    ],
)
def test_a_cable_is_one_whole_cut_under_the_name_of_the_trade(
    method: str, size: str, ground: str, name: str
) -> None:
    result = taken_cable(method, size=size, ground=ground)

    (cable,) = parts_of(result, "cable")
    assert dict(cable.attributes) == {"cable": method, "conductors": name, "material": "cu"}
    assert cable.cuts_ft == (Decimal("26.5"),)  # (20 + 1 + 3) x 1.1 = 26.4
    assert not parts_of(result, "conductor")
    assert count(result, "cable_connector", cable=method) == 2


@pytest.mark.parametrize(("method", "inserts"), [("NM-B", 0), ("UF-B", 0), ("SER", 0), ("MC", 2)])
def test_only_an_armoured_cable_has_an_insert_at_each_end(method: str, inserts: int) -> None:
    assert count(taken_cable(method), "anti_short_bushing") == inserts


def test_the_connector_is_weather_tight_where_the_box_stands_in_the_weather() -> None:
    """NFPA 70 312.2 and 314.15: at the inlet outdoors, not at the switch behind the wall."""
    through = taken_cable("UF-B", wall_penetrations=1, **WEATHER)
    outside = taken_cable("UF-B", wall_penetrations=0, **WEATHER)

    styles = [
        (count(one, "cable_connector", style="weather-tight"), count(one, "cable_connector"))
        for one in (through, outside)
    ]
    assert styles == [(1, 2), (2, 2)]


@pytest.mark.parametrize(
    ("wall", "kinds"),
    [
        ("plywood", {"cable_staple"}),
        ("wood_siding", {"cable_staple"}),
        ("concrete_block", {"cable_staple", "running_board"}),
        ("brick", {"cable_staple", "running_board"}),
        ("stud_drywall", {"cable_staple"}),
        ("metal_siding", {"cable_strap"}),
        ("stucco_on_frame", {"cable_strap"}),
        ("steel_stud", {"cable_strap", "stud_grommet"}),
    ],
)
def test_small_cable_indoors_is_carried_as_its_wall_allows(wall: str, kinds: set[str]) -> None:
    result = taken_cable("NM-B", wall=wall)

    carried = {"cable_staple", "cable_strap", "running_board", "stud_grommet"}
    assert {part.kind for part in result.parts} & carried == kinds


@pytest.mark.parametrize(
    ("size", "wires", "boards"),
    [("10 AWG", 3, 3), ("8 AWG", 3, 0), ("8 AWG", 2, 3), ("6 AWG", 2, 0)],
)
def test_only_cable_below_two_6_or_three_8_awg_needs_a_running_board(
    size: str, wires: int, boards: int
) -> None:
    """NFPA 70 334.15(C)."""
    run = make_cable_run("NM-B", size=size, surface="concrete_block")
    if wires == 2:
        run = replace(run, conductors=tuple(w for w in run.conductors if w.colour != "red"))

    result = taken(make_job(surface="concrete_block"), run)

    assert count(result, "running_board", length_ft="8") == boards  # 20 ft in boards of 8 ft
    assert (count(result, "cable_strap") > 0) is (boards == 0)


def test_bored_framing_carries_small_cable_between_its_ends() -> None:
    """NFPA 70 334.30(A): holes at most 4-1/2 ft apart are supports."""
    result = taken_cable("NM-B", "40", wall="stud_drywall")

    assert count(result, "cable_staple") == 2
    assert count(result, "drill_bit", bit="auger bit", diameter="7/8") == 1


@pytest.mark.parametrize(("length", "grommets"), [("1", 1), ("20", 15), ("20.5", 16)])
def test_steel_studs_take_a_grommet_each_even_in_a_finished_wall(
    length: str, grommets: int
) -> None:
    """NFPA 70 300.4(B)(1); a stud every 16 in."""
    for finished in (False, True):
        result = taken_cable("NM-B", length, wall="steel_stud", finished_wall=finished)

        assert count(result, "stud_grommet", hole_in="7/8") == grommets


@pytest.mark.parametrize("method", CABLES)
def test_cable_fished_in_a_finished_wall_has_no_supports_but_plates(method: str) -> None:
    size = "8 AWG" if method == "SER" else "10 AWG"

    result = taken_cable(method, size=size, wall="stud_drywall", finished_wall=True)

    assert count(result, "cable_staple") == count(result, "cable_strap") == 0
    assert count(result, "nail_plate") == 2
    assert hours_of(result, "cable_fished") == Decimal("1.50")


def test_straps_of_a_cable_are_screwed_to_the_wall() -> None:
    result = taken_cable("SER", wall="poured_concrete", size="6 AWG", ground="6 AWG")

    assert count(result, "cable_strap", style="3/4 in two-hole") == 5
    assert count(result, "fastener", fastener="concrete screw", diameter="3/16") == 10 + 2


def test_the_white_wire_of_a_cable_without_neutral_is_marked() -> None:
    """NFPA 70 200.7(C)."""
    with_neutral = make_cable_run("NM-B", surface="plywood")
    hots = tuple(wire for wire in with_neutral.conductors if wire.role != "neutral")
    without = replace(with_neutral, conductors=hots)

    tapes = [
        count(taken(make_job(surface="plywood"), run), "consumable", consumable="marking tape set")
        for run in (with_neutral, without)
    ]

    assert tapes == [0, 1]


def test_aluminium_cable_brings_its_compound() -> None:
    run = make_cable_run("SER", size="2 AWG", ground="4 AWG", surface="plywood")
    wires = tuple(replace(wire, material="al") for wire in run.conductors)

    result = taken(make_job(surface="plywood"), replace(run, conductors=wires))

    assert count(result, "cable", conductors="2-2-2-4", material="al") > 0
    assert count(result, "consumable", consumable="antioxidant compound") == 1


def test_a_size_in_which_a_cable_is_not_made_is_told_with_those_that_are() -> None:
    run = make_cable_run("UF-B", size="2 AWG", surface="plywood")

    result = taken(make_job(surface="plywood"), run)

    assert "CABLE_NOT_TAKEN_OFF" in codes(result)
    (error,) = [one for one in result.findings if one.code == "CABLE_NOT_TAKEN_OFF"]
    assert "14 AWG, 12 AWG, 10 AWG, 8 AWG, 6 AWG" in error.message


def test_every_cable_of_the_design_tables_has_its_fittings() -> None:
    from estimator.sizing.tables import load_sizing_tables

    fittings = load_take_off_tables().cable_fittings

    made = {
        (cable, size) for (cable, _), sizes in load_sizing_tables().cables.items() for size in sizes
    }
    assert made <= set(fittings)


def test_wire_from_4_awg_is_bought_black_and_marked() -> None:
    """NFPA 70 200.6(B) and 250.119(A): larger wire may be marked at its ends."""
    from takeoff_factory import make_run

    small, large = (
        taken(make_job(), make_run(trade_size="1-1/4", conductors=make_wires(size)))
        for size in ("6 AWG", "4 AWG")
    )

    colours = [
        {dict(part.attributes)["colour"] for part in parts_of(one, "conductor")}
        for one in (small, large)
    ]
    assert colours == [{"black", "red", "white", "green"}, {"black"}]
    (black,) = parts_of(large, "conductor")
    assert len(black.cuts_ft) == 4
    assert count(large, "consumable", consumable="marking tape set") == 1
