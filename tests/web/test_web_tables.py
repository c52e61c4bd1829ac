"""The published tables over REST, for somebody who checks the figures."""

from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from estimator import usecases
from estimator.web.app import create_app

PATH = "/api/v1/tables"


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


@pytest.fixture(scope="module")
def spec(client: FlaskClient) -> dict[str, Any]:
    document: dict[str, Any] = client.get("/api/openapi.json").get_json()
    return document


def shape(spec: dict[str, Any], name: str) -> Draft202012Validator:
    schemas = spec["components"]["schemas"]
    for schema in schemas.values():
        if "properties" in schema:
            schema["additionalProperties"] = False
    return Draft202012Validator(
        {"$ref": f"#/components/schemas/{name}", "components": spec["components"]}
    )


def test_all_tables_are_listed(client: FlaskClient, spec: dict[str, Any]) -> None:
    answer = client.get(PATH)

    assert answer.status_code == 200
    body = answer.get_json()
    assert list(shape(spec, "TableList").iter_errors(body)) == []
    assert {table["name"]: table["rows"] for table in body["tables"]} == {
        table.name: len(table.rows) for table in usecases.list_tables()
    }


def test_every_table_is_served_in_the_published_shape(
    client: FlaskClient, spec: dict[str, Any]
) -> None:
    table_shape = shape(spec, "Table")

    for table in usecases.list_tables():
        body = client.get(f"{PATH}/{table.name}").get_json()
        assert list(table_shape.iter_errors(body)) == []
        assert len(body["rows"]) == len(table.rows)


@pytest.mark.parametrize(
    ("edition", "section"),
    [("2023", "Table 310.15(B)(1)(1)"), ("2020", "Table 310.15(B)(1)")],
)
def test_rows_are_cited_by_the_edition_asked_for(
    client: FlaskClient, edition: str, section: str
) -> None:
    body = client.get(f"{PATH}/sizing.ambient?code_edition={edition}").get_json()

    citation = body["rows"][0]["sources"][0]["citation"]
    assert body["code_edition"] == edition
    assert citation == f"NFPA 70 ({edition}), {section}"


def test_an_unknown_table_is_a_problem(client: FlaskClient) -> None:
    answer = client.get(f"{PATH}/sizing.boxes_of_wood")

    assert answer.status_code == 404
    assert answer.content_type == "application/problem+json"
    assert "There is no table 'sizing.boxes_of_wood'" in answer.get_json()["detail"]


def test_an_unknown_edition_is_a_problem(client: FlaskClient) -> None:
    answer = client.get(f"{PATH}/sizing.ambient?code_edition=1999")

    assert answer.status_code == 422
    assert answer.content_type == "application/problem+json"


@pytest.mark.parametrize("path", [PATH, f"{PATH}/sizing.ambient"])
def test_what_has_not_changed_is_not_sent_again(client: FlaskClient, path: str) -> None:
    tag = client.get(path).headers["ETag"]

    again = client.get(path, headers={"If-None-Match": tag})
    other = client.get(path, headers={"If-None-Match": '"other"'})

    assert (again.status_code, again.data) == (304, b"")
    assert other.status_code == 200


def test_the_openapi_document_describes_the_tables(spec: dict[str, Any]) -> None:

    assert {PATH, f"{PATH}/{{name}}"} <= set(spec["paths"])
    assert "404" in spec["paths"][f"{PATH}/{{name}}"]["get"]["responses"]
