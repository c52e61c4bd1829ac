"""POST /api/v1/catalogue/check reports price lists as the command does, storing nothing."""

import json
from typing import Any

import pytest
from conftest import SAMPLES
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator
from werkzeug.test import TestResponse

from estimator.config import Config
from estimator.web.app import create_app

PATH = "/api/v1/catalogue/check"
OTHER = SAMPLES / "price_lists_other"
FOUR_FACTS: dict[str, Any] = json.loads((SAMPLES / "jobs" / "four_facts.json").read_text())


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


@pytest.fixture(scope="module")
def spec(client: FlaskClient) -> dict[str, Any]:
    document: dict[str, Any] = client.get("/api/openapi.json").get_json()
    return document


def post(client: FlaskClient, body: object, path: str = PATH) -> TestResponse:
    return client.post(path, data=json.dumps(body), content_type="application/json")


def named(name: str) -> dict[str, str]:
    return {"name": name, "text": (OTHER / name).read_text()}


def test_the_answer_has_exactly_the_shape_of_the_openapi_document(
    client: FlaskClient, spec: dict[str, Any]
) -> None:
    body = {
        "catalogue": [named("descriptions_only.csv"), named("one_slip_by_a_hundred.csv")],
        "confirmed": named("confirmed_matches.csv"),
    }

    answer = post(client, body)

    assert answer.status_code == 200
    schema = {
        "$ref": "#/components/schemas/CatalogueCheck",
        "components": json.loads(
            json.dumps(spec["components"]).replace(
                '"type": "object"', '"type": "object", "unevaluatedProperties": false'
            )
        ),
    }
    Draft202012Validator(schema).validate(answer.get_json())


def test_lists_matches_and_findings_are_reported(client: FlaskClient) -> None:
    body = {"catalogue": [named("descriptions_only.csv")], "jobs": [FOUR_FACTS]}

    found = post(client, body).get_json()

    assert found["lists"][0]["read_from"] == {"columns": 0, "confirmed": 0, "description": 52}
    assert found["jobs"] == ["/jobs/0"]
    assert found["coverage"]["proposed"] > 0
    proposed = [match for match in found["matches"] if match["match"] == "proposed"]
    assert all(match["because"] and match["score"] for match in proposed)
    assert "PRICE_LIST_ROWS_NOT_UNDERSTOOD" in [one["code"] for one in found["findings"]]


def test_a_slip_by_a_hundred_is_told(client: FlaskClient) -> None:
    found = post(client, {"catalogue": [named("one_slip_by_a_hundred.csv")]}).get_json()

    (slip,) = [one for one in found["findings"] if one["code"] == "PRICE_OUT_OF_LINE"]
    assert "HS-0084" in slip["message"]


def test_confirmed_matches_count(client: FlaskClient) -> None:
    body = {
        "catalogue": [named("descriptions_only.csv")],
        "confirmed": named("confirmed_matches.csv"),
        "jobs": [FOUR_FACTS],
    }

    checked = post(client, body).get_json()
    priced = post(
        client,
        {"job": FOUR_FACTS, "catalogue": body["catalogue"], "confirmed": body["confirmed"]},
        "/api/v1/estimates",
    ).get_json()["price"]

    assert checked["coverage"]["confirmed"] > 0
    assert "confirmed" in [line["match"] for line in priced["lines"]]
    assert priced["proposed"] == checked["coverage"]["proposed"]
    proposed = [line for line in priced["lines"] if line["match"] == "proposed"]
    assert all(line["match_score"] and line["match_because"] for line in proposed)


def test_prices_count_that_hold_on_the_day_asked_for(client: FlaskClient) -> None:
    tidy = (SAMPLES / "price_lists" / "north_counter.csv").read_text().splitlines()
    ended = [f"{tidy[0]},valid until", *(f"{row},2026-05-31" for row in tidy[1:])]
    body = {
        "catalogue": [{"name": "ended.csv", "text": "\n".join(ended)}],
        "jobs": [FOUR_FACTS],
    }

    before = post(client, {**body, "on": "2026-05-31"}).get_json()["coverage"]
    after = post(client, {**body, "on": "2026-06-01"}).get_json()["coverage"]

    assert before["exact"] > 0
    assert after["exact"] == 0
    assert after["unpriced"] == after["parts"] == before["parts"]


def test_a_row_that_is_not_understood_tells_its_sheet(client: FlaskClient) -> None:
    found = post(client, {"catalogue": [named("descriptions_only.csv")]}).get_json()

    assert {row["sheet"] for row in found["lists"][0]["unread"]} == {""}


@pytest.mark.parametrize(
    ("body", "where"),
    [
        ({}, "/catalogue"),
        ({"catalogue": "x"}, "/catalogue"),
        ({"catalogue": [{"name": "a.csv"}]}, "/catalogue/0"),
        ({"catalogue": [{"name": "a.csv", "text": ""}]}, "a.csv"),
        ({"catalogue": [], "confirmed": 5}, "/confirmed"),
        ({"catalogue": [], "confirmed": {"name": "c.csv", "text": "supplier"}}, ""),
        ({"catalogue": [], "jobs": {}}, "/jobs"),
        ({"catalogue": [], "jobs": [{}] * 21}, "/jobs"),
        ({"catalogue": [], "jobs": [{"circuits": 5}]}, "/jobs/0, /circuits"),
        ({"catalogue": [], "gizmo": 1}, "/gizmo"),
        ({"catalogue": [], "on": "1 June"}, "/on"),
    ],
)
def test_what_cannot_be_used_is_a_problem_with_its_place(
    client: FlaskClient, body: object, where: str
) -> None:
    answer = post(client, body)

    assert answer.status_code == 422
    assert answer.content_type == "application/problem+json"
    assert where in [fault["where"] for fault in answer.get_json()["faults"]]


def test_a_body_that_is_no_json_object_is_a_problem(client: FlaskClient) -> None:
    assert client.post(PATH, data=b"{", content_type="application/json").status_code == 400
    assert client.post(PATH, data=b"[]", content_type="application/json").status_code == 422
    assert client.post(PATH, data=b"a=1", content_type="text/plain").status_code == 415
    small = create_app(Config(max_body_bytes=10)).test_client()
    assert post(small, {"catalogue": []}).status_code == 413


def test_no_price_list_prices_nothing(client: FlaskClient) -> None:
    found = post(client, {"catalogue": [], "jobs": [FOUR_FACTS]}).get_json()

    assert found["coverage"]["unpriced"] == found["coverage"]["parts"] > 0
