"""Every kind of transfer on every wall, flush and on the surface, by every wiring method."""

from itertools import product
from typing import Any, get_args

import pytest
from takeoff_flow import EQUIPMENT, METHODS, Taken, quantity, take, wires_unaccounted

from estimator.job.records import Surface, WiringMethod
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.why import asked_for
from estimator.usecases import Catalogue

Attributes = tuple[tuple[str, str], ...]

SURFACES = get_args(Surface)
WIRING = get_args(WiringMethod)
NO_STUDS = {
    "poured_concrete", "concrete_block", "grouted_block", "brick", "stucco_on_block", "plywood",
}  # fmt: skip
ROOMS = {"power_inlet_box", "cord_set", "fastener", "sign", "consumable"}


def job_for(method: str, wiring: str, surface: str, mounting: str) -> Taken:
    start, end = "inlet", "load_centre" if method == "interlock" else "transfer"
    place: dict[str, Any] = (
        {"place": "indoor", "exposure": "dry"}
        if wiring in ("NM-B", "ENT", "FMC", "SER", "MC")
        else {}
    )
    run = {"from": start, "to": end, "length_ft": 18, "wiring_method": wiring, **place}
    return take(
        mounting_surface=surface,
        transfer={"method": method, "mounting": mounting},
        runs=[run],
    )


def forbidden(method: str, surface: str, mounting: str) -> set[str]:
    """Codes of the errors that this combination has to name."""
    if mounting == "flush" and method == "automatic_switch":
        codes = {"AUTOMATIC_SWITCH_NOT_FLUSH"}
    elif mounting == "flush" and method != "interlock" and surface in NO_STUDS:
        codes = {"SURFACE_CANNOT_HOLD_FLUSH"}
    else:
        codes = set()
    if method == "automatic_switch" and surface == "metal_siding":
        codes.add("SURFACE_CANNOT_HOLD")
    return codes


@pytest.mark.parametrize(("method", "wiring"), list(product(METHODS, WIRING)))
def test_no_room_is_missing_and_what_is_forbidden_names_the_reason(
    method: str, wiring: str
) -> None:
    for surface, mounting in product(SURFACES, ("surface", "flush")):
        taken = job_for(method, wiring, surface, mounting)

        kinds = {part.kind for part in taken.result.parts}
        where = (surface, mounting)
        assert kinds >= {EQUIPMENT[method], *ROOMS}, where
        assert kinds & {"conductor", "cable"}, where
        assert {"permit", "commission", "test_circuit", "inspection"} <= {
            task.code for task in taken.result.labour
        }, where
        of_the_wall = {
            code: one for code, one in taken.errors.items() if "SURFACE" in code or "FLUSH" in code
        }
        assert set(of_the_wall) == forbidden(method, surface, mounting), where
        for finding in of_the_wall.values():
            assert surface.replace("_", " ") in finding.message or "stud bay" in finding.message
            assert finding.remedy
        assert wires_unaccounted(taken) == [], where


@pytest.mark.parametrize("method", METHODS)
def test_an_inlet_set_flush_is_whole_or_names_the_wall_that_cannot_hold_it(method: str) -> None:
    for surface in SURFACES:
        taken = take(
            mounting_surface=surface,
            transfer={"method": method},
            inlet={"configuration": "L14-30", "mounting": "flush", "surface": surface},
        )

        assert quantity(taken, "power_inlet_box", mounting="flush") == 1
        refused = taken.errors.get("SURFACE_CANNOT_HOLD_FLUSH")
        assert (refused is not None) is (surface in NO_STUDS), surface
        if refused is not None:
            assert refused.where == "/inlet"
            assert surface.replace("_", " ") in refused.message
        assert wires_unaccounted(taken) == [], surface


@pytest.mark.parametrize("wiring", WIRING)
@pytest.mark.parametrize("method", ["manual_switch", "subpanel", "automatic_switch"])
def test_what_leads_to_the_load_centre_adds_up_by_every_wiring_method(
    method: str, wiring: str
) -> None:
    """Walks the second run too, with the neutral switched and not, and the service ahead or not."""
    transfer = {"method": method, "factory_whip": False}
    if method == "automatic_switch":
        transfer["rating_a"] = 100
    runs = [
        {"from": "inlet", "to": "transfer", "length_ft": 18},
        {"from": "transfer", "to": "load_centre", "length_ft": 5, "wiring_method": wiring},
    ]
    for switched, role in product((False, True), ("service", "subpanel")):
        taken = take(
            transfer={**transfer, "switched_neutral": switched},
            load_centre={"free_spaces": 4, "role": role, "main_a": 100},
            runs=runs,
        )

        assert wires_unaccounted(taken) == [], (switched, role)
        assert taken.errors or any(
            "/runs/1" in part.asked_by and part.unit == "ft" for part in taken.result.parts
        )


@pytest.mark.parametrize("inside", WIRING)
@pytest.mark.parametrize(
    "outside", ["EMT", "PVC-40", "PVC-80", "RMC", "IMC", "LFMC", "LFNC-B", "UF-B"]
)
def test_two_runs_that_meet_add_up_whatever_they_are(outside: str, inside: str) -> None:
    for finished, place in product((False, True), ("outdoor", "underground")):
        first = {"from": "inlet", "to": "transfer", "length_ft": 30, "wiring_method": outside}
        taken = take(
            run_length_ft=45,
            mounting_surface="stud_drywall",
            runs=[
                {**first, "place": place, "exposure": "wet", "wall_penetrations": 1},
                {
                    **first,
                    "place": "indoor",
                    "exposure": "dry",
                    "length_ft": 15,
                    "wiring_method": inside,
                    "finished_wall": finished,
                    "wall_penetrations": 0,
                },
            ],
        )

        assert wires_unaccounted(taken) == [], (finished, place)
        boxes = quantity(taken, "box") + quantity(taken, "old_work_box")
        assert boxes == 1 or "JUNCTION_BOX_NOT_TAKEN_OFF" in taken.errors


@pytest.mark.parametrize("method", METHODS)
def test_nothing_is_called_miscellaneous(method: str) -> None:
    result = job_for(method, "EMT", "stud_drywall", "surface").result

    words = [part.description for part in result.parts] + [task.task for task in result.labour]
    for text in (*words, *(finding.message for finding in result.findings)):
        assert not any(vague in text.lower() for vague in ("misc", "sundr", "various", "etc."))


@pytest.fixture(scope="module")
def walked() -> frozenset[tuple[str, Attributes]]:
    """Kind and attributes of every part of a walk that calls for each kind."""
    used: set[tuple[str, Attributes]] = set()
    for method, wiring, surface in product(METHODS, WIRING, SURFACES):
        mounting = "flush" if surface == "stud_drywall" else "surface"
        taken = job_for(method, wiring, surface, mounting)
        used |= {(part.kind, part.attributes) for part in taken.result.parts}
    interlock = {"method": "interlock"}
    way = {"from": "inlet", "to": "load_centre"}
    bends = [90, 90, 90, 90, 90]
    for taken in (
        take(
            run_length_ft=90,
            transfer=interlock,
            runs=[{**way, "length_ft": 90, "wiring_method": "PVC-40", "bends_deg": bends}],
        ),
        take(
            run_length_ft=1.5,
            transfer=interlock,
            runs=[
                {
                    **way, "length_ft": 1.5, "wiring_method": "RMC", "bends_deg": [],
                    "wall_penetrations": 0,
                }
            ],
        ),
        take(
            transfer=interlock,
            runs=[{**way, "length_ft": 18, "wiring_method": "LFMC", "bends_deg": bends}],
        ),
        take(
            transfer={"method": "automatic_switch", "rating_a": 100},
            load_centre={"role": "subpanel", "main_a": 100},
        ),
        take(
            mounting_surface="stud_drywall",
            run_length_ft=30,
            runs=[
                {
                    "from": "inlet", "to": "transfer", "length_ft": length, "exposure": "dry",
                    "wiring_method": "NM-B", "place": "indoor", "finished_wall": True,
                }
                for length in (18, 12)
            ],
        ),
        *(
            take(mounting_surface=wall, inlet={"configuration": "L14-30", "mounting": "flush"})
            for wall in ("stucco_on_frame", "wood_siding", "metal_siding")
        ),
    ):  # fmt: skip
        used |= {(part.kind, part.attributes) for part in taken.result.parts}
    return frozenset(used)


def test_every_kind_of_part_is_used_by_some_job(
    walked: frozenset[tuple[str, Attributes]],
) -> None:
    assert {kind for kind, _ in walked} == set(load_part_kinds())


def test_every_part_of_the_walk_has_a_price_in_the_sample_lists(
    walked: frozenset[tuple[str, Attributes]], catalogue: Catalogue
) -> None:
    """Who tries the samples sees no part without a price that a usual job calls for."""
    sold = {(item.kind, item.attributes) for one in catalogue.lists for item in one.items}

    kinds = load_part_kinds()
    assert sorted(kinds[kind].describe(values) for kind, values in walked - sold) == []


@pytest.mark.parametrize("method", METHODS)
def test_each_line_names_its_needs_and_each_need_its_lines(method: str) -> None:
    result = job_for(method, "EMT", "concrete_block", "surface").result

    by_need = asked_for(result)

    assert {"/inlet", "/transfer", "/load_centre", "/runs/0", "/cord_length_ft"} <= set(by_need)
    for pointer, lines in by_need.items():
        assert lines == tuple(sorted(set(lines)))
        assert all(pointer in result.parts[line].asked_by for line in lines)
    named = sum(len(part.asked_by) for part in result.parts)
    assert sum(map(len, by_need.values())) == named
