"""A job description that is kept, as the form of the start page: the way back of job_document."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from estimator.finding import InputRefused
from estimator.job.describe import describe_job
from estimator.web.pages.forms import document_of
from estimator.web.pages.job_form import CircuitRow, JobForm

_COLUMNS = {
    "name": "circuit",
    "breaker_a": "breaker",
    "poles": "poles",
    "running_w": "running",
    "starting_w": "starting",
}
_ASKED = ("circuits", "mounting_surface", "run_length_ft")
_DEEPEST = 3


def form_of(document: Mapping[str, Any], day: date) -> JobForm | None:
    """The form that makes the same job; None where the page has not fields for all of it.

    document: a checked job description. Whether it is the same is seen by making both whole.
    """
    try:
        form = _filled(document)
        same = describe_job(document_of(form, day), day).job == describe_job(document, day).job
    except (InputRefused, _NoField):
        return None
    return form if same else None


class _NoField(Exception):
    """The page cannot show a part of a job."""


def _filled(document: Mapping[str, Any]) -> JobForm:
    circuits = document["circuits"]
    rest = {name: value for name, value in document.items() if name not in _ASKED}
    told = document["inlet"]
    # A text alone names the configuration.
    inlet = told if isinstance(told, Mapping) else {"configuration": told}
    rest["inlet"] = {k: v for k, v in inlet.items() if k != "configuration"}
    rest["circuits"] = [{k: v for k, v in one.items() if k not in _COLUMNS} for one in circuits]
    return JobForm(
        rows=tuple(_row(one) for one in circuits),
        wall=document["mounting_surface"],
        run=_text(document["run_length_ft"]),
        inlet=inlet["configuration"],
        told=dict(_leaves(rest, ())),
    )


def _row(circuit: Mapping[str, Any]) -> CircuitRow:
    told = {_COLUMNS[name]: _text(value) for name, value in circuit.items() if name in _COLUMNS}
    return CircuitRow(**told)


def _leaves(value: Any, steps: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _leaves(inner, (*steps, name))
    elif isinstance(value, list) and any(isinstance(one, Mapping) for one in value):
        for at, inner in enumerate(value):
            yield from _leaves(inner, (*steps, str(at)))
    elif value is not None and value != []:
        if len(steps) > _DEEPEST:
            raise _NoField
        yield "/" + "/".join(steps), _text(value)


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return ", ".join(_text(one) for one in value)
    return str(value)
