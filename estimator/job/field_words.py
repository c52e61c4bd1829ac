"""What the fields of a job description are called in words, for people who do not write JSON."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal

from marshmallow import Schema, fields

from estimator.job.limits import MONEY, RATE
from estimator.job.regions import region_names
from estimator.job.schema import job_schema
from estimator.job.schema_fields import Items, YesNo

Control = Literal["text", "choice", "yes_no", "day"]
# The unit stands behind the field.
_UNIT_BEHIND = re.compile(r"\s*\[([^]]*)\]$")
# Values that are no words of the trade as they stand.
_VALUES = {
    "true": "yes", "false": "no", "cu": "copper", "al": "aluminium", "afci": "AFCI",
    "gfci": "GFCI", "dual": "AFCI and GFCI in one",
}  # fmt: skip
_PLACES = {
    "site": "the house", "supply": "supply", "inlet": "inlet", "transfer": "transfer equipment",
    "load_centre": "load centre", "runs": "run", "circuits": "circuit",
    "direct_loads": "load at the supply", "labour": "labour", "terms": "price and terms",
    "credit_claim": "tax credit", "comparison": "comparison", "stock": "what is at hand",
    "panel_upgrade": "panel work", "loan": "loan",
}  # fmt: skip
# A field as it is named in a sentence: supply.continuous_w, or wiring_method alone.
# What goes on with a dot is the name of a file.
_NAMED = re.compile(
    rf"\b(?:(?:{'|'.join(_PLACES)})\.[a-z]+(?:_[a-z0-9]+)*|[a-z]+(?:_[a-z0-9]+)+)\b(?!\.[a-z])"
)
_TRUTH = re.compile(r"(”) (to|is) (true|false)\b")


@dataclass(frozen=True, slots=True)
class FieldShape:
    """A field in words. label: what it is; unit: what it is measured in, "" for none.

    money: its unit is the currency of the job.
    """

    label: str
    unit: str
    control: Control
    choices: tuple[str, ...]
    money: bool = False


@cache
def field_shape(path: str) -> FieldShape | None:
    """The field that a JSON pointer is about; None for a part, a list or no field at all.

    Places in lists may be numbers or ``*``.
    """
    schema: Schema = job_schema()
    *parents, last = [
        word for word in path.strip("/").split("/") if word != "*" and not word.isdigit()
    ] or [""]
    for parent in parents:
        inner = schema.fields.get(parent)
        if not isinstance(inner, fields.Nested):
            return None
        schema = inner.schema
    found = {one.data_key or name: one for name, one in schema.fields.items()}.get(last)
    return None if found is None or isinstance(found, fields.Nested) else _shape(last, found)


def _shape(name: str, found: fields.Field[object]) -> FieldShape:
    told = str(found.metadata.get("description") or name.replace("_", " "))
    behind = _UNIT_BEHIND.search(told)
    label, unit = _UNIT_BEHIND.sub("", told), behind[1] if behind else ""
    if isinstance(found, YesNo):
        return FieldShape(label, unit, "yes_no", ("true", "false"))
    if isinstance(found, fields.Date):
        return FieldShape(label, unit, "day", ())
    choices: tuple[str, ...] = ()
    if not isinstance(found, Items):
        for check in found.validators:
            choices = choices or tuple(str(each) for each in getattr(check, "choices", ()) or ())
    money = any(check in (MONEY, RATE) for check in found.validators)
    return FieldShape(label, unit, "choice" if choices else "text", choices, money)


def field_title(pointer: str) -> str:
    """A pointer in words: "supply: continuous rating", "circuit 2: wire in the wall today"."""
    words = pointer.strip("/").split("/")
    shape = field_shape(pointer)
    parents = words[:-1]
    place = " ".join(
        str(int(word) + 1) if word.isdigit() else _PLACES.get(word, word.replace("_", " "))
        for word in (parents if shape else words)
    )
    if shape is None:
        return place
    return f"{place}: {shape.label}" if place else shape.label


@lru_cache(maxsize=4096)
def field_order(pointer: str) -> tuple[int, ...]:
    """Sorts pointers as the job description has its fields, places in lists by number."""
    schema: Schema | None = job_schema()
    key = []
    for word in pointer.strip("/").split("/"):
        if word.isdigit():
            key.append(int(word))
            continue
        names = [one.data_key or name for name, one in schema.fields.items()] if schema else []
        key.append(names.index(word) if word in names else len(names))
        inner = schema.fields.get(word) if schema else None
        schema = inner.schema if isinstance(inner, fields.Nested) else None
    return tuple(key)


def fields_named(text: str, where: str) -> tuple[str, ...]:
    """Pointers of the fields that a sentence about a place of the job names.

    where: pointer of what the sentence is about. A field named alone (wiring_method) is one of
    that place, with its part (supply.neutral) one of the job.
    """
    place = where if field_shape(where) is None else where.rpartition("/")[0]
    return tuple(
        f"/{found[0].replace('.', '/')}" if "." in found[0] else f"{place}/{found[0]}"
        for found in _NAMED.finditer(text)
    )


def value_words(value: str) -> str:
    """A value as people say it: "true" is yes, "US-OH" is Ohio."""
    return _VALUES.get(value) or region_names().get(value) or value.replace("_", " ")


@lru_cache(maxsize=4096)
def spoken(text: str) -> str:
    """A sentence in which fields are called by their words and not by their names."""
    told = _NAMED.sub(_called, text)
    return _TRUTH.sub(lambda found: f"{found[1]} {found[2]} {_VALUES[found[3]]}", told)


def _called(found: re.Match[str]) -> str:
    name = found[0]
    part, _, last = name.rpartition(".")
    shape = field_shape(f"/{part}/{last}") if part else _labels().get(last)
    if shape is not None:
        return f"“{shape.label}”"
    return value_words(name) if name in _words() else name


@cache
def _words() -> frozenset[str]:
    """Every word that some field can hold."""
    shapes = (field_shape(pointer) for pointer in _pointers(job_schema(), ""))
    return frozenset(choice for shape in shapes if shape for choice in shape.choices)


@cache
def _labels() -> Mapping[str, FieldShape]:
    """Shapes by the last name of the field; where several have it, the first."""
    known: dict[str, FieldShape] = {}
    for pointer in _pointers(job_schema(), ""):
        shape = field_shape(pointer)
        if shape is not None:
            known.setdefault(pointer.rpartition("/")[2], shape)
    return known


def _pointers(schema: Schema, under: str) -> Iterator[str]:
    for name, one in schema.fields.items():
        pointer = f"{under}/{one.data_key or name}"
        if isinstance(one, fields.Nested):
            yield from _pointers(one.schema, pointer)
        else:
            yield pointer
