"""Every kind of transfer goes through the whole flow, with or without a run that can be built."""

from typing import Any

import pytest
from conftest import SAMPLE_DAY

from estimator import usecases
from estimator.documents.result_json import result_document
from estimator.documents.text_report import text_report
from estimator.documents.workbook import write_workbook
from estimator.usecases import Catalogue

CIRCUITS = [
    {"name": "Freezer", "breaker_a": 20, "running_w": 180, "starting_w": 1200},
    {"name": "Well pump", "breaker_a": 20, "poles": 2, "running_w": 1000, "starting_w": 3000},
    {"name": "Counter left", "breaker_a": 20, "running_w": 300},
    {"name": "Counter right", "breaker_a": 20, "shared_neutral_with": "Counter left"},
]
CABLE = [
    {"from": "inlet", "to": "transfer", "length_ft": 18},
    {"from": "transfer", "to": "load_centre", "length_ft": 6, "wiring_method": "NM-B"},
]


@pytest.mark.parametrize("method", ["manual_switch", "interlock", "subpanel", "automatic_switch"])
@pytest.mark.parametrize("cable", [False, True])
def test_every_kind_is_estimated_and_documented(
    catalogue: Catalogue, method: str, cable: bool
) -> None:
    job: dict[str, Any] = {
        "circuits": CIRCUITS,
        "mounting_surface": "plywood",
        "run_length_ft": 18,
        "inlet": "L14-30",
        "transfer": {"method": method},
    }
    if cable and method != "interlock":
        job["runs"] = CABLE

    full = usecases.estimate_job(job, catalogue, today=SAMPLE_DAY)
    result = result_document(full)["estimate"]

    assert result["transfer"]["method"] == method
    assert result["load_study"]["running_w"]
    assert text_report(full).count("Run 1")
    assert write_workbook(full)[:2] == b"PK"
    equipment = {
        "manual_switch": "transfer_switch",
        "interlock": "interlock_kit",
        "subpanel": "transfer_subpanel",
        "automatic_switch": "automatic_transfer_switch",
    }
    parts = result["parts"]
    assert equipment[method] in {parts[line]["kind"] for line in result["why"]["/transfer"]}


@pytest.mark.parametrize("method", ["manual_switch", "interlock", "subpanel", "automatic_switch"])
def test_the_why_list_says_the_same_both_ways(catalogue: Catalogue, method: str) -> None:
    job: dict[str, Any] = {
        "circuits": CIRCUITS,
        "mounting_surface": "plywood",
        "run_length_ft": 18,
        "inlet": "L14-30",
        "transfer": {"method": method},
    }

    result = result_document(usecases.estimate_job(job, catalogue, today=SAMPLE_DAY))["estimate"]

    by_part = {
        (pointer, line) for line, part in enumerate(result["parts"]) for pointer in part["asked_by"]
    }
    by_need = {(pointer, line) for pointer, lines in result["why"].items() for line in lines}
    assert by_need == by_part
