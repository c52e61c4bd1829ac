"""A job with every optional field told: sizing considers all of it."""

from datetime import date
from pathlib import Path

import pytest
from sizing_jobs import TABLES

from estimator.job.describe import describe_job
from estimator.job.not_built import CODE
from estimator.job.read import read_job_document
from estimator.sizing.design import design_job

FULL = Path(__file__).parents[1] / "job" / "cases" / "job_full.yaml"
SIZED = (
    "circuits",
    "direct_loads",
    "site",
    "supply",
    "cord_length_ft",
    "inlet",
    "transfer",
    "load_centre",
    "runs",
    "voltage_drop_target_percent",
)


@pytest.fixture(scope="module")
def described():
    """The full job as described."""
    return describe_job(read_job_document(FULL.read_bytes(), FULL.name), date(2025, 3, 1))


def test_no_field_that_sizing_reads_is_left_unconsidered(described):
    design = design_job(described.job, TABLES)

    left = [
        finding
        for finding in (*described.findings, *design.findings)
        if finding.code == CODE and finding.where.split("/")[1] in SIZED
    ]

    assert left == []


def test_the_full_job_is_designed_to_its_last_part(described):
    job = described.job

    design = design_job(job, TABLES)

    assert len(design.circuits) == len(job.circuits) == 2
    assert [run.index for run in design.runs] == [0, 1]
    assert all(run.conductors and run.because for run in design.runs)
    assert design.load_study.lifetime_kwh is not None
    assert design.load_study.cost_per_kwh is not None
    assert None not in (design.load_study.recharge_h.solar, design.load_study.recharge_h.ac)
    assert all(tier.hours is not None for tier in design.load_study.runtime_h)
