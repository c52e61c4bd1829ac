"""The schema as a published interface, and its quick way beside marshmallow's own."""

from typing import Any

import pytest
from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from job_documents import four_facts, with_value
from jsonschema import Draft202012Validator
from openapi_spec_validator import validate

from estimator.job.asked import field_to_property
from estimator.job.schema import JobSchema
from estimator.job.told import Told


@pytest.fixture(scope="module")
def document() -> dict[str, Any]:
    plugin = MarshmallowPlugin()
    spec = APISpec("Jobs", "1", "3.1.0", plugins=[plugin])
    plugin.converter.add_attribute_function(field_to_property)  # type: ignore[union-attr]
    spec.components.schema("Job", schema=JobSchema)
    return spec.to_dict()


def test_the_schema_makes_a_valid_interface_document(document: dict[str, Any]) -> None:
    validate(document)  # type: ignore[arg-type]


def test_every_simple_field_is_described_with_an_example(document: dict[str, Any]) -> None:
    for name, schema in document["components"]["schemas"].items():
        for field, shown in schema["properties"].items():
            if "$ref" not in shown and shown.get("type") != "array":
                assert "description" in shown, f"{name}.{field}"
                assert "example" in shown, f"{name}.{field}"


def test_unknown_fields_are_forbidden(document: dict[str, Any]) -> None:
    schemas = document["components"]["schemas"]

    assert schemas["Job"]["additionalProperties"] is False
    assert schemas["Stock"]["additionalProperties"] is True


@pytest.mark.parametrize(
    ("pointer", "value", "stands"),
    [
        ("/name", "Shed", True),
        ("/run_length_ft", 18, True),
        ("/run_length_ft", "18.5", True),
        ("/run_length_ft", 0, False),
        ("/run_length_ft", 2001, False),
        ("/run_length_ft", "x", False),
        ("/inlet", "L14-30", True),
        ("/inlet", {"configuration": "L14-30"}, True),
        ("/inlet", "L6-30", False),
        ("/inlet", {"place": "outdoor"}, False),
        ("/supply", {"system": 120}, True),
        ("/supply", {"system": 240}, False),
        ("/supply", {"continuous_w": None}, True),
        ("/supply", {"efficiency": None}, False),
        ("/terms", {"margin_percent": 100}, False),
        ("/circuits/0/breaker_a", 21, False),
        ("/nonsense", 1, False),
        (
            "/runs",
            [{"from": "inlet", "to": "transfer", "length_ft": 18, "bends_deg": [90, "45"]}],
            True,
        ),
        ("/runs", [{"from": "inlet", "to": "transfer", "length_ft": 18, "bends_deg": 180}], True),
        ("/runs", [{"from": "inlet", "to": "transfer", "length_ft": 18, "bends_deg": -1}], False),
    ],
)
def test_the_interface_document_agrees_with_the_schema(
    document: dict[str, Any], pointer: str, value: object, stands: bool
) -> None:
    root = {"$ref": "#/components/schemas/Job", "components": document["components"]}
    job = with_value(pointer, value)

    assert Draft202012Validator(root).is_valid(job) is stands
    assert (not JobSchema().validate(job)) is stands


@pytest.mark.parametrize(
    "job",
    [
        four_facts(),
        {},
        {"circuits": [{"name": 5}], "unknown": 1, "_schema": 2, "supply": {"system": 1}},
        with_value("/terms/quoted_on", "2025-10-01"),
        with_value("/runs", [{"from": "inlet", "to": "transfer", "length_ft": 18}]),
        with_value("/inlet", {"configuration": "L6-30", "place": "roof"}),
        with_value("/supply", {"continuous_w": None, "surge_w": "8000.50"}),
        with_value("/supply", {"efficiency": None}),
        with_value("/credit_claim/panel_upgrade", {"enables": ["heat_pump"]}),
        with_value("/labour/factors", ["occupied_house", "occupied_house"]),
        with_value("/stock", [{"kind": "conductor", "quantity": 40, "unit": "ft", "size": "10"}]),
        with_value("/stock", [{"kind": "conductor", "quantity": 40, "unit": "ft", "Size": []}]),
    ],
)
def test_reading_a_job_without_faults_at_once_changes_no_outcome(
    job: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    at_once = JobSchema().fault_free(job)

    monkeypatch.setattr(Told, "fault_free", lambda *_: None)
    schema = JobSchema()

    assert at_once == (None if schema.validate(job) else schema.load(job))
