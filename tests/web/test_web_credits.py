"""Credits over REST: programmes of one's own, their facts and the table of years."""

from typing import Any

import pytest
from conftest import SAMPLES
from flask.testing import FlaskClient
from test_web_estimates import FOUR_FACTS, post

from estimator.web.app import create_app

PROGRAMME = (SAMPLES / "programmes" / "state_storage_credit.toml").read_text("utf-8")
BODY: dict[str, Any] = {
    "job": {**FOUR_FACTS, "site": {"region": "US-OH"}},
    "catalogue": [],
    "on": "2025-10-01",
}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def named(text: str, name: str = "state.toml") -> dict[str, str]:
    return {"name": name, "text": text}


def test_programmes_facts_and_years_are_answered_when_asked_for(client: FlaskClient) -> None:
    asked = {
        "programmes": [named(PROGRAMME)],
        "programme_facts": {"household_income": "90000"},
        "year_table": True,
    }

    plain = post(client, BODY).get_json()
    answer = post(client, {**BODY, **asked}).get_json()

    assert [one["programme"] for one in answer["credits"]][1:] == [
        "State storage credit (invented)"
    ]
    assert [row["year"] for row in answer["credits_by_year"]] == list(range(2020, 2031))
    assert len(plain["credits"]) == 1
    assert "credits_by_year" not in plain
    assert all("open_points" in one for one in plain["credits"])


@pytest.mark.parametrize(
    ("put", "where", "told"),
    [
        ({"programmes": {}}, "/programmes", "must be a list of at most 20 programmes"),
        ({"programmes": [named("")] * 21}, "/programmes", "must be a list of at most 20"),
        ({"programmes": [1]}, "/programmes/0", "must be an object with name and text"),
        ({"programme_facts": []}, "/programme_facts", "must be an object of texts"),
        ({"programme_facts": {"a": 1}}, "/programme_facts", "must be an object of texts"),
        ({"programme_facts": {"luck": "1"}}, "luck", "nobody asks for this fact"),
        ({"year_table": "yes"}, "/year_table", "must be true or false"),
        (
            {"programmes": [named(PROGRAMME.replace("0.20", "20"))]},
            "state.toml, line 27, rate",
            "value 20 is above 1",
        ),
    ],
)
def test_what_cannot_be_used_is_a_problem_with_its_place(
    client: FlaskClient, put: dict[str, Any], where: str, told: str
) -> None:
    answer = post(client, {**BODY, **put})

    assert answer.status_code == 422
    faults = answer.get_json()["faults"]
    assert any(one["where"] == where and told in one["message"] for one in faults), faults
