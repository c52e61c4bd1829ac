"""The take-off of the sample jobs, designed by the real sizing."""

from datetime import date
from pathlib import Path

import pytest
from takeoff_factory import count

from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.job.records import Job
from estimator.sizing.design import design_job
from estimator.sizing.records import Design
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.records import TakeOff
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.take_off import take_off

SAMPLES = Path(__file__).parents[2] / "catalog_samples" / "jobs"
PATHS = sorted(SAMPLES.iterdir())


def taken_sample(path: Path) -> tuple[Job, Design, TakeOff]:
    job = describe_job(read_job_document(path.read_bytes(), path.name), date(2025, 10, 1)).job
    design = design_job(job, load_sizing_tables())
    return job, design, take_off(job, design, load_take_off_tables())


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.name)
def test_parts_and_design_of_a_sample_agree(path: Path) -> None:
    job, design, result = taken_sample(path)

    field_runs = [run for run in design.runs if not run.factory_whip]
    in_cable = [run for run in field_runs if run.trade_size is None]
    wired = [run for run in field_runs if run not in in_cable]
    wanted = sum(wire.count for run in wired for wire in run.conductors) + len(in_cable)
    pieces = [
        cut for part in result.parts if part.kind in ("conductor", "cable") for cut in part.cuts_ft
    ]
    assert len(pieces) == wanted
    assert all(cut >= min(run.length_ft for run in field_runs) for cut in pieces)
    equipment = {
        "manual_switch": ("transfer_switch", {"positions": str(design.transfer.spaces)}),
        "interlock": ("interlock_kit", {"main_a": str(job.load_centre.main_a)}),
        "subpanel": ("transfer_subpanel", {"spaces": str(design.transfer.spaces)}),
        "automatic_switch": ("automatic_transfer_switch", {}),
    }
    if job.transfer.method in ("manual_switch", "subpanel"):
        poles = sum(circuit.poles for circuit in design.circuits if circuit.position)
        assert count(result, "twist_on_connector") >= poles
    kind, values = equipment[job.transfer.method]
    assert count(result, kind, **values) == 1
    sticks = sum(run.length_ft for run in field_runs if run.wiring_method in ("EMT", "PVC-40"))
    assert sum(count(result, "raceway", raceway=method) for method in ("EMT", "PVC-40")) == sticks
    assert result.hours > 8


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.name)
def test_the_take_off_of_a_sample_is_complete(path: Path) -> None:
    _, _, result = taken_sample(path)

    assert "error" not in {finding.severity for finding in result.findings}


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.name)
def test_the_same_job_gives_the_same_take_off(path: Path) -> None:
    assert taken_sample(path)[2] == taken_sample(path)[2]
