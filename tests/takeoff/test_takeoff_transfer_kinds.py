"""Interlock, transfer subpanel and automatic switch: each with all that belongs to it."""

from typing import Any

import pytest
from takeoff_flow import CIRCUITS, Taken, quantity, take, tasks

STANDARD = "without added protection"


def found(taken: Taken) -> set[str]:
    return {finding.code for finding in taken.result.findings}


def signs(taken: Taken) -> dict[str, int]:
    return {
        part.description: int(part.quantity) for part in taken.result.parts if part.kind == "sign"
    }


def test_an_interlock_is_kit_back_fed_breaker_and_hold_down_and_moves_two_breakers() -> None:
    """NFPA 70 408.36(D), 110.3(B)."""
    taken = take(transfer={"method": "interlock"}, load_centre={"main_a": 150, "free_spaces": 4})

    assert quantity(taken, "interlock_kit", main_a="150") == 1
    assert quantity(taken, "breaker") == 1
    assert quantity(taken, "breaker", panel="load centre", poles="2", rating_a="30") == 1
    assert quantity(taken, "breaker_hold_down", poles="2") == 1
    assert quantity(taken, "breaker_filler") == 0
    assert quantity(taken, "twist_on_connector") == 0
    done = tasks(taken)
    assert (done["fit_interlock"], done["two_pole_breaker"], done["move_breaker"]) == (1, 1, 2)
    assert "move_circuit_120" not in done
    assert done["test_circuit"] == 5


def test_an_interlock_hangs_nothing_on_the_wall_but_the_inlet() -> None:
    taken = take(transfer={"method": "interlock"})

    asked = [part for part in taken.result.parts if part.kind in ("fastener", "backboard")]
    assert all("/transfer" not in part.asked_by for part in asked)
    assert "mount_switch_surface" not in tasks(taken)


def test_a_50_a_interlock_takes_a_50_a_breaker() -> None:
    taken = take(transfer={"method": "interlock"}, inlet="14-50")

    assert quantity(taken, "breaker", rating_a="50") == 1


def test_a_subpanel_brings_a_breaker_for_each_moved_circuit() -> None:
    """NFPA 70 240.4, 210.4(B), 210.12."""
    taken = take(transfer={"method": "subpanel"})

    assert quantity(taken, "transfer_subpanel", spaces="8", rating_a="60", inlet_a="30") == 1
    of_subpanel = {"panel": "transfer subpanel"}
    assert quantity(taken, "breaker", poles="1", rating_a="15", protection=STANDARD) == 1
    assert quantity(taken, "breaker", poles="1", rating_a="15", protection="arc-fault") == 1
    assert quantity(taken, "breaker", poles="1", rating_a="20", **of_subpanel) == 2
    assert quantity(taken, "breaker", poles="2", rating_a="20", **of_subpanel) == 1
    assert quantity(taken, "breaker", poles="2", rating_a="60", panel="load centre") == 1
    assert quantity(taken, "handle_tie") == 1


def test_a_protected_pair_with_one_neutral_takes_one_two_pole_breaker_and_no_tie() -> None:
    circuits = [
        {**one, "protection": "afci"} if one["name"] == "Counter left" else one for one in CIRCUITS
    ]

    taken = take(transfer={"method": "subpanel"}, circuits=circuits)

    assert quantity(taken, "breaker", poles="2", rating_a="20", protection="arc-fault") == 1
    assert quantity(taken, "breaker", poles="1", rating_a="20") == 0
    assert quantity(taken, "handle_tie") == 0
    assert "PAIR_BREAKER_RATING" not in found(taken)


def test_a_protected_pair_of_two_ratings_takes_the_smaller_and_says_so() -> None:
    circuits = [
        {**one, "protection": "dual", "breaker_a": 15} if one["name"] == "Counter left" else one
        for one in CIRCUITS
    ]

    taken = take(transfer={"method": "subpanel"}, circuits=circuits)

    both = "arc-fault and ground-fault"
    assert quantity(taken, "breaker", poles="2", rating_a="15", protection=both) == 1
    assert "PAIR_BREAKER_RATING" in found(taken)


def test_moved_circuits_are_spliced_hot_by_hot_one_neutral_each_and_grounds_by_four() -> None:
    """Trade practice: hot and neutral a circuit, grounds four to a connector."""
    taken = take(transfer={"method": "subpanel"})

    joined = [splice.joins for splice in taken.splices]
    assert joined.count("hot") == 6
    assert joined.count("neutral") == 4  # the pair has one
    assert [splice.wires for splice in taken.splices if splice.joins == "ground"] == [5, 2]
    assert quantity(taken, "twist_on_connector", conductors="5 x 12 AWG") == 1 + 1


@pytest.mark.parametrize(
    ("edition", "method", "wanted"),
    [("2023", "subpanel", 1), ("2020", "subpanel", 0), ("2023", "manual_switch", 0)],
)
def test_a_new_subpanel_brings_the_surge_protector_of_its_edition(
    edition: str, method: str, wanted: int
) -> None:
    """NFPA 70 (2023) 215.18: type 1 or 2, 10 kA."""
    taken = take(transfer={"method": method}, site={"code_edition": edition})

    assert quantity(taken, "surge_protector", types="1 or 2", discharge_ka="10") == wanted
    assert tasks(taken).get("fit_surge_protector", 0) == wanted


@pytest.mark.parametrize("factory_whip", [True, False])
def test_a_switched_neutral_is_spliced_for_each_circuit_and_a_pair_once(
    factory_whip: bool,
) -> None:
    """Trade practice: neutrals of moved circuits come along. NFPA 70 200.4, 300.3(B)."""
    plain, switched = (
        take(
            transfer={
                "method": "manual_switch",
                "factory_whip": factory_whip,
                "switched_neutral": taken_over,
            }
        )
        for taken_over in (False, True)
    )

    assert len(plain.splices) == 6
    assert len(switched.splices) == 6 + 4
    assert [quantity(one, "twist_on_connector") for one in (plain, switched)] == [6 + 1, 10 + 1]
    (run,) = [one for one in switched.design.runs if one.to == "load_centre"]
    own = [end for end in switched.ends if end.run == run.index and end.role == "neutral"]
    at_panel = [end for end in own if end.node == "load_centre"]
    assert [end.lands for end in at_panel] == ["bar", "splice"] * 4
    assert {end.lands for end in own if end.node == "transfer"} == {
        "factory" if factory_whip else "terminal"
    }


@pytest.mark.parametrize(
    ("circuits", "fillers", "moved"),
    [
        (CIRCUITS[:1], 0, 1),  # one space given up, two wanted
        (CIRCUITS[:2], 0, 1),  # two, seldom neighbours
        (CIRCUITS[2:4], 0, 0),  # a pair is on neighbours
        (CIRCUITS[4:], 0, 0),  # a two-pole breaker leaves neighbours
        (CIRCUITS, 4, 0),
    ],
    ids=["one", "two", "pair", "two-pole", "all"],
)
def test_spaces_that_lose_their_breaker_are_used_or_closed(
    circuits: list[dict[str, Any]], fillers: int, moved: int
) -> None:
    """NFPA 70 408.7."""
    taken = take(transfer={"method": "subpanel"}, circuits=circuits)

    assert quantity(taken, "breaker_filler") == fillers
    assert tasks(taken).get("move_breaker", 0) == moved


def test_a_subpanel_has_a_ground_bar_of_its_own() -> None:
    """NFPA 70 408.40, 250.24(A)(5)."""
    taken = take(transfer={"method": "subpanel"})

    assert quantity(taken, "ground_bar", terminals="5") == 1
    assert all(part.kind != "ground_bar" for part in take().result.parts)


def test_a_subpanel_in_the_damp_is_rain_tight() -> None:
    runs = [
        {"from": "inlet", "to": "transfer", "length_ft": 18},
        {"from": "transfer", "to": "load_centre", "length_ft": 2, "exposure": "damp"},
    ]

    assert quantity(take(transfer={"method": "subpanel"}), "transfer_subpanel", enclosure="1") == 1
    damp = take(transfer={"method": "subpanel"}, runs=runs)
    assert quantity(damp, "transfer_subpanel", enclosure="3R") == 1
    assert quantity(damp, "spacer") == 8


def test_the_feeders_end_in_the_load_centre_is_landed_once() -> None:
    taken = take(
        transfer={"method": "subpanel"},
        runs=[
            {"from": "inlet", "to": "transfer", "length_ft": 18},
            {"from": "transfer", "to": "load_centre", "length_ft": 4, "wiring_method": "EMT"},
        ],
    )

    (run,) = [run for run in taken.design.runs if run.to == "load_centre"]
    wires = sum(wire.count for wire in run.conductors)
    large = tasks(taken)["terminate_large"]
    assert large == wires / 4 + 1


AUTOMATIC: dict[str, Any] = {
    "transfer": {"method": "automatic_switch", "rating_a": 100, "terminal_temp_c": 75},
    "inlet": {"configuration": "CS6375", "terminal_temp_c": 75},
    "supply": {
        "kind": "generator", "portable": False, "continuous_w": 12000, "surge_w": 15000,
        "outlet": "CS6375", "neutral": "floating",
    },
    "load_centre": {"role": "subpanel", "main_a": 100, "bus_a": 125, "terminal_temp_c": 75},
}  # fmt: skip


def test_an_automatic_switch_cuts_the_feeder_and_joins_hots_and_neutral() -> None:
    taken = take(**AUTOMATIC)

    values = {"rating_a": "100", "service": "not service-rated", "neutral": "unswitched"}
    assert quantity(taken, "automatic_transfer_switch", **values) == 1
    assert quantity(taken, "splicing_connector", ports="2") == 3
    assert quantity(taken, "twist_on_connector") == 0
    assert quantity(taken, "ground_bar") == 0
    assert tasks(taken)["mount_automatic_switch"] == 1
    assert tasks(taken)["second_person"] == 1
    assert "SERVICE_SIDE_NOT_TAKEN_OFF" not in found(taken)
    assert "CONTROL_WIRES_NOT_TAKEN_OFF" in found(taken)


def test_a_service_rated_switch_parts_the_bars_and_says_what_is_not_counted() -> None:
    """NFPA 70 250.24(A)(5), 230.7."""
    centre = {**AUTOMATIC["load_centre"], "role": "service"}

    taken = take(**{**AUTOMATIC, "load_centre": centre})

    assert quantity(taken, "automatic_transfer_switch", service="service-rated") == 1
    assert quantity(taken, "ground_bar", terminals="21") == 1
    assert quantity(taken, "splicing_connector") == 0
    assert tasks(taken)["mount_automatic_service"] == 1
    assert "mount_automatic_switch" not in tasks(taken)
    (told,) = [one for one in taken.result.findings if one.code == "SERVICE_SIDE_NOT_TAKEN_OFF"]
    assert "neither parts nor hours" in told.message


def test_load_management_is_told_as_not_counted() -> None:
    transfer = {**AUTOMATIC["transfer"], "load_management": True}

    assert "LOAD_MANAGEMENT_NOT_TAKEN_OFF" in found(take(**{**AUTOMATIC, "transfer": transfer}))
    assert "LOAD_MANAGEMENT_NOT_TAKEN_OFF" not in found(take(**AUTOMATIC))


def test_conductors_in_an_automatic_switch_are_landed_with_its_connecting() -> None:
    """Each run has one end that is not the switch's; both runs have 4 and 7 conductors."""
    done = tasks(take(**AUTOMATIC))

    assert done["terminate_small"] + done["terminate_large"] == 1 + 7 / 4


def test_a_heavy_switch_on_hollow_block_gets_a_board_with_more_screws() -> None:
    """Trade practice: 8 screws a board of 2 x 4 ft, 10 on hollow block."""
    on_block = take(**AUTOMATIC, mounting_surface="concrete_block")
    on_drywall = take(**AUTOMATIC, mounting_surface="hollow_drywall")

    for taken, fastener, screws in (
        (on_block, "concrete screw", 10 + 4),
        (on_drywall, "structural wood screw", 8 + 6),
    ):
        assert quantity(taken, "backboard", size_ft="2 x 4") == 1
        held = quantity(taken, "fastener", fastener=fastener, diameter="1/4")
        assert held == screws + 2
        (note,) = [
            one
            for one in taken.result.findings
            if one.code == "BACKBOARD_ADDED" and one.where == "/transfer"
        ]
        assert "about 60 lb" in note.message


@pytest.mark.parametrize(("surface", "board"), [("hollow_drywall", 1), ("stud_drywall", 0)])
def test_a_cabinet_over_forty_pounds_is_not_hung_on_bare_drywall(surface: str, board: int) -> None:
    """Trade practice: drywall alone holds no switch or inlet; a board across the studs does."""
    taken = take(mounting_surface=surface, transfer={"method": "subpanel"})

    notes = [
        one
        for one in taken.result.findings
        if (one.code, one.where) == ("BACKBOARD_ADDED", "/transfer")
    ]
    assert len(notes) == board
    for note in notes:
        assert "about 45 lb" in note.message
        assert "no anchor alone may hold it" in note.message
        assert "stud_drywall" in note.remedy
    of_the_cabinet = [one for one in taken.result.parts if "/transfer" in one.asked_by]
    assert sum(one.kind == "backboard" for one in of_the_cabinet) == board
    held_by = {dict(one.attributes)["fastener"] for one in of_the_cabinet if one.kind == "fastener"}
    assert "hollow-wall anchor" not in held_by


def test_poured_concrete_holds_a_heavy_switch_without_a_board() -> None:
    taken = take(**AUTOMATIC)

    assert quantity(taken, "backboard") == 0
    length = "1-3/4"  # 1/4 + 1-1/4 in
    assert quantity(taken, "fastener", diameter="1/4", length_in=length) >= 6


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (
            {"transfer": {"method": "manual_switch"}},
            {
                "standby source sign": 1,
                "inlet source-type sign": 1,
                "circuit directory": 2,
                "operating instruction card": 1,
            },
        ),
        (
            {"transfer": {"method": "interlock"}},
            {
                "standby source sign": 1,
                "inlet source-type sign": 1,
                "circuit directory": 1,
                "list of loads that may be on together": 1,
                "operating instruction card": 1,
            },
        ),
        (
            {"transfer": {"method": "subpanel"}},
            {
                "standby source sign": 1,
                "inlet source-type sign": 1,
                "circuit directory": 2,
                "list of loads that may be on together": 1,
                "feed-through conductor label": 1,
                "operating instruction card": 1,
            },
        ),
        (
            AUTOMATIC,
            {
                "standby source sign": 1,
                "inlet source-type sign": 1,
                "bond warning sign": 1,
                "circuit directory": 1,
                "feed-through conductor label": 1,
                "operating instruction card": 1,
            },
        ),
    ],
    ids=["manual_switch", "interlock", "subpanel", "automatic_switch"],
)
def test_each_kind_has_its_signs_and_directories(
    changes: dict[str, Any], expected: dict[str, int]
) -> None:
    """NFPA 70 702.7, 408.4(A), 312.8(A), 702.4."""
    assert signs(take(**changes)) == expected


@pytest.mark.parametrize(
    ("method", "task"), [("manual_switch", "mount_switch"), ("subpanel", "mount_subpanel")]
)
def test_a_flush_cabinet_is_bored_plated_patched_and_inspected_twice(
    method: str, task: str
) -> None:
    """NFPA 70 300.4(A)(1)."""
    wall = {"mounting_surface": "stud_drywall"}
    surface = take(**wall, transfer={"method": method})
    flush = take(**wall, transfer={"method": method, "mounting": "flush"})

    assert tasks(surface)[f"{task}_surface"] == tasks(flush)[f"{task}_flush"] == 1
    assert quantity(flush, "nail_plate") - quantity(surface, "nail_plate") >= 2
    assert quantity(flush, "drywall_patch") == 1
    assert quantity(flush, "drill_bit", bit="long auger bit") == 2  # wall and stud
    assert (tasks(surface)["inspection"], tasks(flush)["inspection"]) == (1, 2)
    assert tasks(flush)["travel"] == tasks(surface)["travel"] + 1
    assert "PAINT_EXCLUDED" in found(flush)
    assert "PAINT_EXCLUDED" not in found(surface)


def test_a_finish_outside_that_is_cut_is_told_as_not_mended() -> None:
    flush = take(
        mounting_surface="wood_siding", transfer={"method": "manual_switch", "mounting": "flush"}
    )

    assert quantity(flush, "drywall_patch") == 0
    assert "FINISH_EXCLUDED" in found(flush)


def test_a_hole_that_weakens_a_stud_is_warned_of() -> None:
    """Memory: two fifths of a bearing 2 x 4, 1.4 in; 3/4 raceway wants 1-1/4, 1 wants 1-1/2."""
    wall = {
        "mounting_surface": "stud_drywall",
        "transfer": {"method": "manual_switch", "mounting": "flush"},
    }
    small = take(**wall, circuits=CIRCUITS[:2])
    large = take(
        **wall, circuits=[{**one, "name": f"{i}"} for i, one in enumerate(CIRCUITS[:2] * 5)]
    )

    assert "STUD_BORED_LARGE" not in found(small)
    assert "STUD_BORED_LARGE" in found(large)
