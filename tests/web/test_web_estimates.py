"""The REST interface answers what the core computes, and refuses what cannot be used."""

import io
import json
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from conftest import SAMPLE_DAY, SAMPLES, sample_jobs, sample_lists
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator
from werkzeug.test import TestResponse

from estimator import usecases
from estimator.config import Config
from estimator.documents.result_json import result_document
from estimator.job.read import read_job_document
from estimator.usecases import Catalogue
from estimator.web.app import create_app

FOUR_FACTS: dict[str, Any] = {
    "circuits": [
        {"name": "Freezer", "breaker_a": 20, "running_w": 180, "starting_w": 1200},
        {"name": "Well pump", "breaker_a": 20, "poles": 2, "running_w": 1000, "starting_w": 3000},
    ],
    "mounting_surface": "concrete_block",
    "run_length_ft": 18,
    "inlet": "L14-30",
}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


@pytest.fixture(scope="module")
def spec(client: FlaskClient) -> dict[str, Any]:
    document: dict[str, Any] = client.get("/api/openapi.json").get_json()
    return document


def post(client: FlaskClient, body: object, path: str = "/api/v1/estimates") -> TestResponse:
    return client.post(path, data=json.dumps(body, default=str), content_type="application/json")


def request_for(job: Path) -> dict[str, object]:
    return {
        "job": read_job_document(job.read_bytes(), job.name),
        "catalogue": [
            {"name": path.name, "text": path.read_bytes().decode("utf-8-sig")}
            for path in sample_lists()
        ],
        "on": SAMPLE_DAY.isoformat(),
    }


@pytest.mark.parametrize("job", sample_jobs(), ids=lambda path: path.name)
def test_the_service_answers_what_the_core_computes(
    client: FlaskClient, catalogue: Catalogue, job: Path
) -> None:
    document = read_job_document(job.read_bytes(), job.name)
    expected = result_document(usecases.estimate_job(document, catalogue, today=SAMPLE_DAY))

    answer = post(client, request_for(job))

    assert answer.status_code == 200
    got = answer.get_json()
    del got["price_lists"], expected["price_lists"]
    assert got == expected


def test_the_openapi_document_is_valid(spec: dict[str, Any]) -> None:

    assert spec["openapi"].startswith("3.1")
    assert {"/api/v1/estimates", "/api/v1/estimates/workbook", "/health"} <= set(spec["paths"])


@pytest.mark.parametrize("job", sample_jobs(), ids=lambda path: path.name)
def test_results_have_exactly_the_shape_of_the_openapi_document(
    client: FlaskClient, spec: dict[str, Any], job: Path
) -> None:
    schemas = json.loads(json.dumps(spec["components"]))
    for schema in schemas["schemas"].values():
        if "properties" in schema:
            schema["additionalProperties"] = False
    shape = {"$ref": "#/components/schemas/Result", "components": schemas}

    result = post(client, request_for(job)).get_json()

    assert list(Draft202012Validator(shape).iter_errors(result)) == []


def test_the_job_sample_is_accepted_by_the_published_request_schema(
    client: FlaskClient, spec: dict[str, Any]
) -> None:
    shape = {"$ref": "#/components/schemas/EstimateRequest", "components": spec["components"]}
    body = json.loads(
        json.dumps(request_for(SAMPLES / "jobs" / "six_circuit_block.yaml"), default=float)
    )

    faults = list(Draft202012Validator(shape).iter_errors(body))

    assert faults == []


def test_the_workbook_comes_as_a_download(client: FlaskClient) -> None:
    answer = post(
        client, request_for(SAMPLES / "jobs" / "six_circuit_block.yaml"),
        "/api/v1/estimates/workbook",
    )  # fmt: skip

    assert answer.status_code == 200
    assert "attachment" in answer.headers["Content-Disposition"]
    assert "Summary" in openpyxl.load_workbook(io.BytesIO(answer.data)).sheetnames


def test_an_empty_catalogue_leaves_every_part_visible_and_unpriced(client: FlaskClient) -> None:
    answer = post(client, {"job": FOUR_FACTS, "catalogue": []}).get_json()

    assert answer["price"]["complete"] is False
    assert answer["price"]["unpriced"] == len(answer["estimate"]["parts"])
    assert {line["match"] for line in answer["price"]["lines"]} == {"unpriced"}


def test_faults_of_job_and_price_lists_come_together(client: FlaskClient) -> None:
    bad_job = {**FOUR_FACTS, "run_length_ft": -3, "inlet": "L99-30"}

    answer = post(client, {"job": bad_job, "catalogue": [{"name": "empty.csv", "text": ""}]})

    assert answer.status_code == 422
    assert answer.content_type == "application/problem+json"
    places = " ".join(fault["where"] for fault in answer.get_json()["faults"])
    assert "/run_length_ft" in places
    assert "/inlet" in places
    assert "empty.csv" in places


@pytest.mark.parametrize(
    ("data", "content_type", "status"),
    [
        (b"{", "application/json", 400),
        (b"\xff\xfe\x00", "application/json", 400),
        (b'{"job": NaN, "catalogue": []}', "application/json", 400),
        (b'{"job": {}, "job": {}, "catalogue": []}', "application/json", 400),
        (b"[" * 100_000, "application/json", 400),
        (b"[]", "application/json", 422),
        (b"{}", "application/json", 422),
        (b'{"job": {}, "catalogue": {}}', "application/json", 422),
        (b'{"job": {}, "catalogue": [], "jobs": 1}', "application/json", 422),
        (b'{"job": null, "catalogue": [], "on": "soon"}', "application/json", 422),
        (b"job=1", "application/x-www-form-urlencoded", 415),
    ],
)
def test_a_bad_body_is_a_clear_problem(
    client: FlaskClient, data: bytes, content_type: str, status: int
) -> None:
    answer = client.post("/api/v1/estimates", data=data, content_type=content_type)

    assert answer.status_code == status
    assert answer.content_type == "application/problem+json"
    problem = answer.get_json()
    assert problem["status"] == status
    assert problem["detail"]


def test_a_body_beyond_the_limit_is_refused_before_it_is_read() -> None:
    client = create_app(Config(max_body_bytes=1000)).test_client()

    answer = client.post("/api/v1/estimates", data=b" " * 1001, content_type="application/json")

    assert answer.status_code == 413
    assert answer.get_json()["title"]


def test_ten_thousand_circuits_are_one_fault(client: FlaskClient) -> None:
    job = {**FOUR_FACTS, "circuits": [{"name": f"c{n}", "breaker_a": 15} for n in range(10_000)]}

    answer = post(client, {"job": job, "catalogue": []})

    assert answer.status_code == 422
    assert [fault["where"] for fault in answer.get_json()["faults"]] == ["/job/circuits"] or [
        fault["where"] for fault in answer.get_json()["faults"]
    ] == ["/circuits"]


def test_an_unknown_path_is_a_problem_too(client: FlaskClient) -> None:
    answer = client.get("/api/v1/nothing")

    assert answer.status_code == 404
    assert answer.content_type == "application/problem+json"


def test_a_bug_of_ours_shows_no_internals(
    monkeypatch: pytest.MonkeyPatch, client: FlaskClient
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("secret inside")

    monkeypatch.setattr(usecases, "estimate_document", fail)

    answer = post(client, {"job": FOUR_FACTS, "catalogue": []})

    assert answer.status_code == 500
    assert "secret" not in answer.get_data(as_text=True)


def test_health_says_the_version(client: FlaskClient) -> None:
    answer = client.get("/health")

    assert answer.get_json()["status"] == "ok"


def test_pages_are_html_with_a_strict_policy(client: FlaskClient) -> None:
    for path in ("/", "/api/"):
        answer = client.get(path)

        assert answer.status_code == 200
        assert "default-src 'self'" in answer.headers["Content-Security-Policy"]
        assert "licensed electrician" in answer.get_data(as_text=True)


def test_the_day_of_the_request_decides_the_tax_year(client: FlaskClient) -> None:
    body = {"job": FOUR_FACTS, "catalogue": [], "on": date(2026, 3, 1).isoformat()}

    answer = post(client, body).get_json()

    assert answer["credits"][0]["tax_year"] == 2026
    assert answer["credits"][0]["amount"] == "0.00"
