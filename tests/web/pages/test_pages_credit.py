"""The credit page asks one question at a time and says what each answer would give."""

import re
from urllib.parse import parse_qsl, urlencode

import pytest
from flask.testing import FlaskClient
from werkzeug.datastructures import MultiDict

from estimator.job.field_words import field_shape
from estimator.web.app import create_app
from estimator.web.pages.credit_questions import (
    first_open,
    load_questions,
    outcomes,
    question_field,
)
from estimator.web.pages.forms import answer_form
from estimator.web.pages.job_form import JobForm, read_form

# Invented.
FACTS = {
    "circuit": "Fridge", "breaker": "20", "poles": "1", "running": "150", "starting": "900",
    "wall": "brick", "run": "18 ft", "inlet": "L14-30", "prices": "sample",
    "/credit_claim/completed_on": "2025-11-20", "/supply/price": "3000",
    "/supply/nameplate_kwh": "5", "/supply/usable_kwh": "4.8",
}  # fmt: skip


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def form(**more: str) -> JobForm:
    return read_form(MultiDict({**FACTS, **more}))


def page(client: FlaskClient, ask: int | None = None, **more: str) -> str:
    told = {**FACTS, **more, **({} if ask is None else {"ask": str(ask)})}
    answer = client.get("/credit?" + urlencode(told))
    assert answer.status_code == 200
    return answer.text


def asked(text: str) -> str:
    (found,) = re.findall(r"<h2>Question (\d+) of", text)
    return str(found)


def test_every_question_is_about_a_field_of_the_job_once() -> None:
    fields = [one.field for one in load_questions()]

    assert [one for one in fields if field_shape(one) is None] == []
    assert len(fields) == len(set(fields))
    assert [one.ask for one in load_questions() if not one.ask.endswith("?")] == []


def test_the_first_question_without_an_answer_is_asked(client: FlaskClient) -> None:
    told = {"/credit_claim/completed_on": "2025-11-20", "/supply/kind": "battery"}

    assert first_open(told) == 2
    assert first_open({one.field: "1" for one in load_questions()}) == len(load_questions()) + 1
    assert asked(page(client)) == "2"


def test_each_answer_gives_what_the_job_with_that_answer_gives() -> None:
    asking = form()
    estimate = answer_form(asking).estimate
    assert estimate is not None
    question = load_questions()[1]
    assert question.field == "/site/residence"
    field = question_field(question, estimate.assumptions, asking, "USD")

    found = {one.choice: one.total for one in outcomes(asking, field, estimate)}

    for choice, total in found.items():
        told = answer_form(form(**{"/site/residence": choice})).estimate
        assert told is not None and told.credit_total == total
    assert found["main_home"].if_allowed > 0
    assert found["not_a_residence"].if_everything == 0


def test_leaving_a_question_assumed_goes_on_without_its_answer(client: FlaskClient) -> None:
    text = page(client, 2, **{"/site/residence": "tenant"})
    (skip,) = re.findall(r'href="([^"]+)">Leave it assumed', text)
    told = dict(parse_qsl(skip.partition("?")[2].replace("&amp;", "&")))

    assert told["ask"] == "3"
    assert "/site/residence" not in told
    assert told["/supply/price"] == "3000"


def test_an_answer_that_cannot_be_used_is_asked_again_with_the_fault(client: FlaskClient) -> None:
    text = page(client, 9, **{"/supply/nameplate_kwh": "much"})

    assert asked(text) == "6"
    assert 'value="much"' in text
    assert "Check:" in text


def test_without_a_finished_job_nothing_is_asked(client: FlaskClient) -> None:
    text = client.get("/credit?ask=3").text

    assert "Answer the four questions" in text
    assert "Question 3" not in text


@pytest.mark.parametrize("ask", [0, 23, 99_999, -4])
def test_numbers_beyond_the_questions_end_them(client: FlaskClient, ask: int) -> None:
    text = page(client, ask)

    assert ("questions are answered or left as assumed" in text) == (ask != 0)
