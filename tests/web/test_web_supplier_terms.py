"""Suppliers' terms, stock and a limit on suppliers in a request for an estimate."""

import json
from typing import Any

import pytest
from conftest import SAMPLES, sample_lists
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from estimator.web.app import create_app

PATH = "/api/v1/estimates"
TERMS = (SAMPLES / "supplier_terms" / "three_suppliers.csv").read_text()
FOUR_FACTS = json.loads((SAMPLES / "jobs" / "four_facts.json").read_text())
LISTS = [{"name": path.name, "text": path.read_text()} for path in sample_lists()]


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def answered(client: FlaskClient, **more: Any) -> Any:
    body = {"job": FOUR_FACTS, "catalogue": LISTS, "on": "2025-10-01", **more}
    return client.post(PATH, data=json.dumps(body), content_type="application/json")


def test_terms_count_and_the_answer_keeps_its_shape(client: FlaskClient) -> None:
    spec = client.get("/api/openapi.json").get_json()

    answer = answered(client, supplier_terms={"name": "terms.csv", "text": TERMS})

    assert answer.status_code == 200
    price = answer.get_json()["price"]
    closed = json.loads(
        json.dumps(spec["components"]).replace(
            '"type": "object"', '"type": "object", "unevaluatedProperties": false'
        )
    )
    schema = {"$ref": "#/components/schemas/Price", "components": closed}
    Draft202012Validator(schema).validate(price)
    assert {each["supplier"] for each in price["deliveries"]} <= {
        each["supplier"] for each in price["purchase_plan"]["suppliers"]
    }
    assert price["deliveries"]


def test_a_limit_and_stock_are_in_the_job(client: FlaskClient) -> None:
    plain = answered(client).get_json()
    part = next(p for p in plain["estimate"]["parts"] if p["unit"] == "ea" and p["quantity"] != "1")
    at_hand = {"kind": part["kind"], **part["attributes"], "quantity": 1, "unit": "ea"}
    job = {**FOUR_FACTS, "terms": {"most_suppliers": 1}, "stock": [at_hand]}

    plan = answered(client, job=job).get_json()["price"]["purchase_plan"]

    assert len(plan["suppliers"]) == 1
    assert [each["quantity"] for each in plan["from_stock"]] in (["1"], [])


def test_faults_of_the_terms_are_told_with_their_rows(client: FlaskClient) -> None:
    text = TERMS.replace("12.00", "twelve").replace("400.00", "free")

    answer = answered(client, supplier_terms={"name": "terms.csv", "text": text})

    assert answer.status_code == 422
    told = json.dumps(answer.get_json())
    assert "row 3, column delivery fee" in told
    assert "row 4, column free delivery from" in told


def test_terms_must_be_a_named_text(client: FlaskClient) -> None:
    assert answered(client, supplier_terms=5).status_code == 422
