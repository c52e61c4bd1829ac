"""Designs of the snapshot tests, and the text in which a whole design is compared."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from textwrap import wrap
from typing import Any

import yaml
from sizing_cases import FOLDER
from sizing_jobs import TABLES

from estimator.basis import Because
from estimator.finding import Finding
from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.job.records import Job
from estimator.sizing.design import design_job
from estimator.sizing.records import Design, RunConductor
from estimator.sizing.tables import SizingTables

SNAPSHOTS = FOLDER / "snapshots"
TODAY = date(2026, 3, 2)


def snapshot_cases() -> dict[str, dict[str, Any]]:
    """Cases by name: those worked by hand, and those of ``jobs.yaml`` on their common base."""
    found = {
        path.stem if path.parent.name == "by_hand" else f"transfer_{path.stem}": {
            "job": yaml.safe_load(path.read_text("utf-8"))["job"]
        }
        for folder in ("by_hand", "by_hand_transfer")
        for path in sorted((FOLDER / folder).glob("*.yaml"))
    }
    told = yaml.safe_load((SNAPSHOTS / "jobs.yaml").read_text("utf-8"))
    for name, case in told["cases"].items():
        found[name] = {**case, "job": _merged(told["base"], case.get("job", {}))}
    return found


def snapshot_path(name: str) -> Path:
    """Where the text of a case is kept."""
    return SNAPSHOTS / f"{name}.txt"


def design_of(case: Mapping[str, Any]) -> Design:
    """The design of a case.

    job: as a user writes it. beyond: fields changed after the door, which would refuse them; of
    circuits and runs by their number, or a whole list.
    configurations: invented ones, each like a real one but for the fields named.
    """
    return design_job(job_of(case), _tables(case))


def job_of(case: Mapping[str, Any]) -> Job:
    """The job of a case, as described."""
    document = read_job_document(yaml.safe_dump(case["job"]).encode(), "job.yaml")
    return _beyond(describe_job(document, TODAY).job, case.get("beyond", {}))


def _merged(base: Any, changes: Any) -> Any:
    if not isinstance(base, dict) or not isinstance(changes, dict):
        return changes
    merged = {key: _merged(base[key], changes[key]) for key in base.keys() & changes.keys()}
    return base | changes | merged


def _beyond(job: Job, changes: Mapping[str, Any]) -> Job:
    for part, new in changes.items():
        old = getattr(job, part)
        if isinstance(old, tuple) and isinstance(new, dict):
            parts = list(old)
            for index, values in new.items():
                parts[index] = replace(parts[index], **values)
            new = tuple(parts)
        elif is_dataclass(old) and not isinstance(old, type):
            new = replace(old, **new)
        job = replace(job, **{part: new})
    return job


def _tables(case: Mapping[str, Any]) -> SizingTables:
    known = dict(TABLES.configurations)
    for name, told in case.get("configurations", {}).items():
        changes = {key: value for key, value in told.items() if key != "like"}
        known[name] = replace(known[told["like"]], configuration=name, **changes)
    return replace(TABLES, configurations=known)


def snapshot_text(design: Design) -> str:
    """Every field of a design, a line each, with its reasons and findings."""
    return "\n".join(_lines("design", design, "")) + "\n"


def _lines(name: str, value: Any, indent: str) -> Iterator[str]:
    inner = indent + "  "
    if isinstance(value, Finding):
        yield f"{indent}{value.severity} {value.code} at {value.where or 'the whole job'}"
        yield f"{inner}[{value.source}] {value.message}"
        yield f"{inner}-> {value.remedy}"
    elif isinstance(value, Because):
        figures = ", ".join(f"{key}={text}" for key, text in value.figures)
        yield f"{indent}[{value.source}] {value.text}" + (f" ({figures})" if figures else "")
    elif isinstance(value, RunConductor):
        shown = (f"{field.name}={_shown(getattr(value, field.name))}" for field in fields(value))
        yield indent + ", ".join(shown)
    elif is_dataclass(value) and not isinstance(value, type):
        parts = [(field.name, getattr(value, field.name)) for field in fields(value)]
        plain = [f"{key}={_shown(one)}" for key, one in parts if not _has_lines(one)]
        yield f"{indent}{name}:"
        yield from wrap("; ".join(plain), 100, initial_indent=inner, subsequent_indent=inner)
        for key, one in parts:
            if _has_lines(one):
                yield from _lines(key, one, inner)
    else:
        yield f"{indent}{name}:"
        for number, item in enumerate(value, start=1):
            key, one = item if isinstance(item, tuple) else (str(number), item)
            yield from _lines(key, one, inner)


def _has_lines(value: Any) -> bool:
    """Whether a value is a record, or several of them, or of them with their names."""
    if isinstance(value, tuple):
        return any(is_dataclass(item) or isinstance(item, tuple) for item in value)
    return is_dataclass(value)


def _shown(value: Any) -> str:
    if isinstance(value, tuple):
        return f"({', '.join(_shown(item) for item in value)})"
    return f"{value:f}" if isinstance(value, Decimal) else repr(value)
