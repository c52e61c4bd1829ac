"""Each hazard that the take-off brings with it has its caution on the estimate."""

from datetime import date
from itertools import product
from typing import Any, get_args

import pytest
from takeoff_flow import METHODS, Taken, take

from estimator.documents.cautions import cautions_for
from estimator.documents.result_json import result_document
from estimator.job.records import Surface, WiringMethod
from estimator.usecases import estimate_job, read_catalogue

ALWAYS = {"backfeed", "live_service_conductors", "lockout", "torque", "defer_to_code"}


def cautions(taken: Taken) -> set[str]:
    return {caution.id for caution in cautions_for(taken.job)}


def hazards(taken: Taken) -> set[str]:
    """Cautions that parts, tasks and tools of a take-off ask for."""
    tasks = {task.code for task in taken.result.labour}
    kinds = {part.kind for part in taken.result.parts}
    texts = {part.description for part in taken.result.parts}
    found = set(ALWAYS)
    if any("fine-dust" in text or "carbide" in text for text in texts):
        found.add("silica_dust")
    if "second_person" in tasks:
        found.add("heavy_cabinet")
    if tasks & {"trench", "trench_machine"}:
        found.add("underground_lines")
    if "breaker_hold_down" in kinds:
        found.add("back_fed_breaker")
    if kinds & {"drywall_patch", "old_work_box", "nail_plate"}:
        found.add("old_finishes")
    if any(tool.tool in ("ladder", "extension_ladder") for tool in taken.result.tools):
        found.add("ladder")
    if "aluminium" in " ".join(texts) and " al" in " ".join(texts):
        found.add("aluminium")
    if taken.job.supply.kind == "generator":
        found |= {"carbon_monoxide", "fuel"}
    if taken.job.supply.kind in ("power_station", "battery"):
        found |= {"battery_place", "heavy_battery"}
    return found


@pytest.mark.parametrize("kind", ["generator", "power_station", "battery"])
def test_every_hazard_of_the_parts_and_tasks_has_its_caution(kind: str) -> None:
    """Transfer kind, mounting and wall are walked through; wiring methods take turns."""
    wiring = get_args(WiringMethod)
    walls = product(METHODS, get_args(Surface), ("surface", "flush"))
    for number, (method, surface, mounting) in enumerate(walls):
        place = "underground" if number % 3 == 0 else "outdoor"
        taken = take(
            mounting_surface=surface,
            transfer={"method": method, "mounting": mounting},
            supply={"kind": kind, "continuous_w": 7200, "neutral": "floating"},
            labour={"factors": ["ladder"] if number % 2 else []},
            runs=[
                {
                    "from": "inlet", "length_ft": 18, "place": place,
                    "to": "load_centre" if method == "interlock" else "transfer",
                    "wiring_method": wiring[number % len(wiring)],
                }
            ],
        )  # fmt: skip

        missing = hazards(taken) - cautions(taken)
        assert not missing, (method, surface, mounting, missing)


@pytest.mark.parametrize(
    ("caution", "job"),
    [
        ("backfeed", {}),
        ("live_service_conductors", {}),
        ("carbon_monoxide", {"supply": {"kind": "generator", "continuous_w": 7200}}),
        ("silica_dust", {"mounting_surface": "brick"}),
        ("ladder", {"labour": {"factors": ["high_ladder"]}}),
        ("heavy_cabinet", {"transfer": {"method": "automatic_switch", "rating_a": 100}}),
        ("heavy_battery", {"supply": {"kind": "power_station", "continuous_w": 7200}}),
        ("battery_place", {"supply": {"kind": "battery", "continuous_w": 7200}}),
    ],
)
def test_a_caution_stands_on_the_estimate_as_it_is_given_out(
    caution: str, job: dict[str, Any]
) -> None:
    told = {
        "circuits": [{"name": "Freezer", "breaker_a": 20, "running_w": 300}],
        "mounting_surface": "plywood",
        "run_length_ft": 20,
        "inlet": "L14-30",
        **job,
    }
    result = estimate_job(told, read_catalogue(()), today=date(2026, 3, 2))

    given_out = result_document(result)["cautions"]

    (text,) = [one.text for one in cautions_for(result.job) if one.id == caution]
    assert text in {one["text"] for one in given_out}


def test_the_lines_of_a_run_or_device_are_named_in_what_is_given_out() -> None:
    told = {
        "circuits": [{"name": "Freezer", "breaker_a": 20, "running_w": 300}],
        "mounting_surface": "concrete_block",
        "run_length_ft": 20,
        "inlet": "L14-30",
    }

    estimate = result_document(estimate_job(told, read_catalogue(()), today=date(2026, 3, 2)))[
        "estimate"
    ]

    parts = estimate["parts"]
    by_need = estimate["why"]
    assert {"/inlet", "/transfer", "/load_centre", "/cord_length_ft", "/runs/0"} <= set(by_need)
    for pointer, lines in by_need.items():
        assert lines == [n for n, part in enumerate(parts) if pointer in part["asked_by"]]
    assert all(part["asked_by"] and part["because"] for part in parts)
