"""Sample jobs for each wiring method, worked by hand; the working stands in each case file."""

from collections import Counter
from datetime import date
from decimal import Decimal
from typing import get_args

import pytest
import yaml
from sizing_cases import FOLDER, name_with_source
from sizing_jobs import TABLES

from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.job.records import WiringMethod
from estimator.sizing.design import design_job

FILES = sorted((FOLDER / "by_hand").glob("*.yaml"))
TODAY = date(2026, 3, 2)
EVERYWHERE = {"AFCI_EXTENSION", "FILL_TIGHT"}


def worked(path):
    """The expected values of a case file and the run that they are about."""
    text = path.read_text("utf-8")
    case = yaml.safe_load(text)
    document = read_job_document(yaml.safe_dump(case["job"]).encode(), "job.yaml")
    design = design_job(describe_job(document, TODAY).job, TABLES)
    return case["expected"], design, design.runs[case["expected"]["run"]]


@pytest.mark.parametrize("path", FILES, ids=name_with_source)
def test_design_is_that_worked_by_hand(path):
    expected, _, run = worked(path)

    counts = Counter()
    for conductor in run.conductors:
        counts[conductor.role, conductor.size] += conductor.count

    assert counts == {(c["role"], c["size"]): c["count"] for c in expected["conductors"]}
    for name in (
        "overcurrent_a",
        "ampacity_a",
        "current_carrying",
        "voltage_drop_percent",
        "fill_percent",
        "fill_limit_percent",
        "expansion_change_in",
        "expansion_fittings",
    ):
        if name in expected:
            told = expected[name]
            assert getattr(run, name) == (None if told is None else Decimal(told)), name
    assert run.trade_size == expected["trade_size"]
    assert run.enough_without_drop == expected.get("enough_without_drop", run.enough_without_drop)


@pytest.mark.parametrize("path", FILES, ids=name_with_source)
def test_findings_are_those_worked_by_hand(path):
    expected, design, run = worked(path)

    found = {"error": set(), "warning": set(), "note": set()}
    for finding in design.findings:
        if finding.where.startswith(f"/runs/{run.index}") and finding.code not in EVERYWHERE:
            found[finding.severity].add(finding.code)

    assert found["error"] == set(expected["errors"])
    assert found["warning"] == set(expected["warnings"])
    assert found["note"] == set(expected["notes"])


@pytest.mark.parametrize("path", FILES, ids=name_with_source)
def test_working_stands_in_the_file(path):
    lines = path.read_text("utf-8").splitlines()

    working = [line for line in lines if line.startswith("# ")]

    assert len(working) >= 4
    assert any("Drop" in line for line in working)


def test_every_wiring_method_has_a_case():
    methods = {worked(path)[2].wiring_method for path in FILES}

    assert methods == set(get_args(WiringMethod))
