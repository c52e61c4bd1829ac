"""Whole jobs counted by hand, item by item; the working stands beside each line of the case."""

from collections import Counter
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml

from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.sizing.design import design_job
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.records import TakeOff
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.take_off import take_off

FILES = sorted((Path(__file__).parent / "cases" / "by_hand").glob("*.yaml"))


@pytest.fixture(params=FILES, ids=lambda path: path.stem)
def counted(request: pytest.FixtureRequest) -> tuple[dict[str, Any], TakeOff, set[str]]:
    """A case, the take-off of its job, and the errors of design and take-off."""
    case = yaml.safe_load(request.param.read_text("utf-8"))
    document = read_job_document(yaml.safe_dump(case["job"]).encode(), "job.yaml")
    job = describe_job(document, date(2026, 3, 2)).job
    design = design_job(job, load_sizing_tables())
    result = take_off(job, design, load_take_off_tables())
    findings = (*design.findings, *result.findings)
    return case, result, {one.code for one in findings if one.severity == "error"}


def test_parts_match_line_by_line(counted: tuple[dict[str, Any], TakeOff, set[str]]) -> None:
    case, result, errors = counted

    assert errors == set(case["errors"])
    assert {part.description: part.quantity for part in result.parts} == {
        description: Decimal(str(quantity)) for description, quantity, _ in case["parts"]
    }
    assert all(working for _, _, working in case["parts"])
    lines = Counter(description for description, _, _ in case["parts"])
    assert max(lines.values()) == 1


def test_hours_match_line_by_line(counted: tuple[dict[str, Any], TakeOff, set[str]]) -> None:
    case, result, _ = counted

    assert {task.code: (task.quantity, task.hours) for task in result.labour} == {
        code: (Decimal(str(quantity)), Decimal(hours))
        for code, quantity, hours, _ in case["labour"]
    }
    assert result.hours == Decimal(case["hours"])
