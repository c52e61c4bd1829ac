"""Every default of a job as a field that can be changed where it stands."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

from marshmallow import Schema, fields

from estimator.finding import Assumption
from estimator.job.schema import job_schema
from estimator.job.schema_fields import Items, YesNo
from estimator.web.pages.places import place_name

# The unit stands behind the field.
_UNIT_BEHIND = re.compile(r"\s*\[[^]]*\]$")
Control = Literal["text", "choice", "yes_no", "day"]
_UNITS = {
    "w": "W", "ft": "ft", "a": "A", "c": "°C", "percent": "%", "kwh": "kWh", "in": "in",
    "hours": "h", "days": "days", "deg": "degrees",
}  # fmt: skip
# Told by the four questions themselves, or of no use on a page.
_NOT_HERE = ("/stock", "/direct_loads", "/mounting_surface", "/run_length_ft")


@dataclass(frozen=True, slots=True)
class DefaultField:
    """A field beside the four questions.

    pointer: into the job, and the name of the form field. label: what it is, in words.
    assumed: the default that was used, None where the field was told. because: why.
    """

    pointer: str
    place: str
    label: str
    unit: str
    control: Control
    choices: tuple[str, ...]
    assumed: str | None
    because: str
    typed: str = ""


def default_fields(
    assumptions: Sequence[Assumption], told: dict[str, str]
) -> tuple[DefaultField, ...]:
    """The fields that were assumed or told, in the order of the job description."""
    found = []
    seen = set()
    for assumption in assumptions:
        seen.add(assumption.field)
        one = _field(assumption.field, assumption.value, assumption.because, "")
        if one is not None:
            found.append(one)
    for pointer, text in told.items():
        if pointer not in seen:
            one = _field(pointer, None, "as told", text)
            if one is not None:
                found.append(one)
    return tuple(found)


def _field(pointer: str, assumed: str | None, because: str, typed: str) -> DefaultField | None:
    if pointer in _NOT_HERE:
        return None
    shape = _shape(_general(pointer))
    if shape is None:
        return None
    label, control, choices = shape
    words = pointer.strip("/").split("/")
    unit = _UNITS.get(words[-1].rpartition("_")[2], "") if control == "text" else ""
    return DefaultField(
        pointer, place_name(pointer), label, unit, control, choices, assumed, because, typed
    )


def _general(pointer: str) -> str:
    return "/".join("*" if word.isdigit() else word for word in pointer.strip("/").split("/"))


@cache
def _shape(path: str) -> tuple[str, Control, tuple[str, ...]] | None:
    """(Label, control, choices) of a field of the job description; None when it is a part."""
    schema: Schema = job_schema()
    *parents, last = path.replace("/*", "").split("/")
    for parent in parents:
        inner = schema.fields.get(parent)
        if not isinstance(inner, fields.Nested):
            return None
        schema = inner.schema
    names = {one.data_key or name: one for name, one in schema.fields.items()}
    found = names.get(last)
    if found is None or isinstance(found, fields.Nested):
        return None
    label = _UNIT_BEHIND.sub("", str(found.metadata.get("description") or last.replace("_", " ")))
    if isinstance(found, YesNo):
        return label, "yes_no", ("true", "false")
    if isinstance(found, fields.Date):
        return label, "day", ()
    choices: tuple[str, ...] = ()
    if not isinstance(found, Items):
        for check in found.validators:
            choices = choices or tuple(str(each) for each in getattr(check, "choices", ()) or ())
    return label, "choice" if choices else "text", choices
