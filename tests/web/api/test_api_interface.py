"""The published interface: valid OpenAPI 3.1, complete, with examples that are true."""

from typing import Any

import pytest
from flask import Flask
from jsonschema import Draft202012Validator
from openapi_spec_validator import validate
from web.api.office import V1

from estimator.web.api.stored_resources import STORED

_READING = {"get"}


@pytest.fixture(scope="module")
def interface(office_app: Flask) -> dict[str, Any]:
    answer = office_app.test_client().get("/api/openapi.json")
    assert answer.status_code == 200
    document: dict[str, Any] = answer.json
    return document


def operations(interface: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    return [
        (path, method, operation)
        for path, item in interface["paths"].items()
        for method, operation in item.items()
        if isinstance(operation, dict)
    ]


def test_it_is_valid(interface: dict[str, Any]) -> None:
    assert interface["openapi"].startswith("3.1")
    validate(interface)  # against the published schema of OpenAPI 3.1


def test_every_address_is_in_it(office_app: Flask, interface: dict[str, Any]) -> None:
    served = {
        (str(rule.rule).count("/"), method.lower())
        for rule in office_app.url_map.iter_rules()
        if rule.rule.startswith(V1)
        for method in rule.methods - {"HEAD", "OPTIONS"}
    }
    told = {(path.count("/"), method) for path, method, _ in operations(interface)
            if path.startswith(V1)}  # fmt: skip
    assert served == told


def test_every_resource_is_one_tag(interface: dict[str, Any]) -> None:
    tags = {tag["name"]: tag["description"] for tag in interface["tags"]}
    for blueprint in STORED:
        assert tags[blueprint.name]
    for path, method, operation in operations(interface):
        assert len(operation["tags"]) == 1, (path, method)


def test_names_of_operations_are_unique_and_told(interface: dict[str, Any]) -> None:
    names = [one["operationId"] for _, _, one in operations(interface) if "operationId" in one]
    assert len(names) == len(set(names)) > 60
    for path, method, operation in operations(interface):
        assert operation["summary"], (path, method)


def test_examples_of_bodies_are_sound(interface: dict[str, Any]) -> None:
    seen = 0
    for path, method, operation in operations(interface):
        content = operation.get("requestBody", {}).get("content", {}).get("application/json")
        if content is None or "operationId" not in operation:
            continue
        assert "example" in content, (path, method)
        schema = {**content["schema"], "components": interface["components"]}
        Draft202012Validator(schema).validate(content["example"])
        seen += 1
    assert seen > 20


def test_what_changes_tells_its_conditions(interface: dict[str, Any]) -> None:
    for path, method, operation in operations(interface):
        if "operationId" not in operation:
            continue
        answers = set(operation["responses"])
        assert {"500", "503"} <= answers, (path, method)
        headers = {one["name"]: one for one in operation.get("parameters", [])
                   if one["in"] == "header"}  # fmt: skip
        if headers.get("If-Match", {}).get("required"):
            assert {"412", "428"} <= answers, (path, method)
        if method in _READING:
            assert "304" in answers, (path, method)
        if "{" in path:
            assert "404" in answers, (path, method)
