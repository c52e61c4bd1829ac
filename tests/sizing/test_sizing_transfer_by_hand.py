"""A sample job for each kind of transfer, worked by hand; the working stands in each case file."""

from collections import Counter
from dataclasses import asdict
from datetime import date
from decimal import Decimal
from typing import get_args

import pytest
import yaml
from sizing_cases import FOLDER, name_with_source
from sizing_jobs import TABLES

from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.job.records import TransferMethod
from estimator.sizing.design import design_job

FILES = sorted((FOLDER / "by_hand_transfer").glob("*.yaml"))
TODAY = date(2026, 3, 2)


@pytest.fixture(params=FILES, ids=name_with_source)
def worked(request):
    """What a case file expects, and the design of its job."""
    case = yaml.safe_load(request.param.read_text("utf-8"))
    document = read_job_document(yaml.safe_dump(case["job"]).encode(), "job.yaml")
    return case["expected"], design_job(describe_job(document, TODAY).job, TABLES)


def codes_of(design, severity):
    return {finding.code for finding in design.findings if finding.severity == severity}


def test_equipment_is_that_worked_by_hand(worked):
    expected, design = worked

    assert {name: getattr(design.transfer, name) for name in expected["transfer"]} == (
        expected["transfer"]
    )
    assert [asdict(breaker) for breaker in design.transfer.breakers] == expected["breakers"]
    assert sorted(load.amps for _, load in design.load_study.legs) == sorted(
        Decimal(amps) for amps in expected["leg_amps"]
    )
    assert list(design.load_study.leave_off) == expected.get("leave_off", [])


def test_run_is_that_worked_by_hand(worked):
    expected, design = worked
    run = design.runs[expected["run"]]

    counts = Counter()
    for conductor in run.conductors:
        counts[conductor.role, conductor.size] += conductor.count

    assert counts == {(c["role"], c["size"]): c["count"] for c in expected["conductors"]}
    assert run.current_carrying == expected["current_carrying"]
    assert run.trade_size == expected["trade_size"]
    assert run.fill_percent == Decimal(expected["fill_percent"])
    assert run.voltage_drop_percent == Decimal(expected["voltage_drop_percent"])


def test_findings_are_those_worked_by_hand(worked):
    expected, design = worked

    assert codes_of(design, "error") == set(expected["errors"])
    assert codes_of(design, "warning") == set(expected["warnings"])
    assert set(expected.get("notes", ())) <= codes_of(design, "note")


def test_every_kind_of_transfer_has_a_case_with_its_working():
    kinds = {yaml.safe_load(path.read_text("utf-8"))["job"]["transfer"]["method"] for path in FILES}
    assert kinds == set(get_args(TransferMethod))
    for path in FILES:
        lines = path.read_text("utf-8").splitlines()
        assert len([line for line in lines if line.startswith("# ")]) >= 10
