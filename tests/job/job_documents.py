"""Job documents for the tests: the least that is accepted, changed field by field."""

from copy import deepcopy
from typing import Any

from marshmallow import fields

from estimator.finding import InputRefused
from estimator.job.schema import check_job

FOUR_FACTS: dict[str, Any] = {
    "circuits": [
        {"name": "Kitchen refrigerator", "breaker_a": 20, "running_w": 180, "starting_w": 1200},
        {"name": "Well pump", "breaker_a": 20, "poles": 2, "running_w": 1000, "starting_w": 3000},
    ],
    "mounting_surface": "concrete_block",
    "run_length_ft": 18,
    "inlet": "L14-30",
}


def four_facts() -> dict[str, Any]:
    """A fresh copy of the least document that is accepted."""
    return deepcopy(FOUR_FACTS)


def with_value(pointer: str, value: object) -> dict[str, Any]:
    """The least document with one value put in; objects on the way are made."""
    document = four_facts()
    at: Any = document
    *parents, last = pointer.strip("/").split("/")
    for parent in parents:
        at = at[int(parent)] if isinstance(at, list) else at.setdefault(parent, {})
    at[last] = value
    return document


def faults_of(document: object) -> dict[str, list[str]]:
    """Messages by pointer; empty when the document is accepted."""
    found: dict[str, list[str]] = {}
    try:
        check_job(document)
    except InputRefused as refused:
        for fault in refused.faults:
            found.setdefault(fault.where, []).append(fault.message)
    return found


def leaf_paths(schema: Any, where: str = "") -> set[str]:
    """Every field of a schema that holds a value, * for any index."""
    paths: set[str] = set()
    for name, field in schema.fields.items():
        path = f"{where}/{field.data_key or name}"
        if isinstance(field, fields.Nested):
            paths |= leaf_paths(field.schema, f"{path}/*" if field.many else path)
        else:
            paths.add(path)
    return paths
