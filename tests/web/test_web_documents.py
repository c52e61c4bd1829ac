"""Papers, pictures and lists over HTTP, without storage."""

import io
import json

import pytest
from conftest import SAMPLE_DAY, SAMPLES, sample_lists
from flask.testing import FlaskClient
from lxml import etree
from pypdf import PdfReader

from estimator.documents.every_document import PICTURES
from estimator.documents.lists_csv import LISTS
from estimator.documents.pdf import PDF_KINDS
from estimator.web.app import create_app


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


@pytest.fixture(scope="module")
def body() -> dict[str, object]:
    price_list = sample_lists()[1]
    return {
        "job": json.loads((SAMPLES / "jobs" / "four_facts.json").read_text("utf-8")),
        "catalogue": [{"name": price_list.name, "text": price_list.read_text("utf-8")}],
        "on": SAMPLE_DAY.isoformat(),
    }


@pytest.mark.parametrize("kind", PDF_KINDS)
def test_each_paper_is_answered_as_pdf(
    kind: str, client: FlaskClient, body: dict[str, object]
) -> None:
    answer = client.post(f"/api/v1/documents/papers/{kind}?paper=a4&locale=en_GB", json=body)

    assert answer.status_code == 200
    assert answer.mimetype == "application/pdf"
    assert f'filename="{kind}.pdf"' in answer.headers["Content-Disposition"]
    assert round(float(PdfReader(io.BytesIO(answer.data)).pages[0].mediabox.width)) == 595


@pytest.mark.parametrize("name", PICTURES)
def test_each_picture_is_answered_as_svg(
    name: str, client: FlaskClient, body: dict[str, object]
) -> None:
    answer = client.post(f"/api/v1/documents/pictures/{name}", json=body)

    assert answer.mimetype == "image/svg+xml"
    assert etree.fromstring(answer.data).tag.endswith("svg")


@pytest.mark.parametrize("name", LISTS)
def test_each_list_is_answered_as_csv(
    name: str, client: FlaskClient, body: dict[str, object]
) -> None:
    answer = client.post(f"/api/v1/documents/lists/{name}", json=body)

    assert answer.mimetype == "text/csv"
    assert answer.text.count("\n") > 1


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("papers/poster", 404),
        ("pictures/quote", 404),
        ("papers/quote?paper=a0", 422),
        ("papers/quote?locale=xx", 422),
    ],
)
def test_what_is_not_there_is_told_as_a_problem(
    path: str, status: int, client: FlaskClient, body: dict[str, object]
) -> None:
    answer = client.post(f"/api/v1/documents/{path}", json=body)

    assert answer.status_code == status
    assert answer.mimetype == "application/problem+json"


def test_a_faulty_job_is_told_as_for_an_estimate(client: FlaskClient) -> None:
    answer = client.post("/api/v1/documents/papers/quote", json={"job": {}, "catalogue": []})

    assert answer.status_code == 422
    assert {"/circuits", "/inlet"} <= {each["where"] for each in answer.get_json()["faults"]}
