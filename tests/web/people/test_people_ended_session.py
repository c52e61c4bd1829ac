"""A sign-in that ends while a form is filled in: nothing of what was typed is lost."""

import json

from lxml import html
from web.people.shared_service import PASSWORD, Browser, Service
from werkzeug.test import TestResponse

PAGE = {"Accept": "text/html"}
# Invented.
TYPED = {
    "circuit": "Fridge <b>", "breaker": "20", "poles": "1", "running": "150", "starting": "900",
    "wall": "brick", "run": "18 ft", "inlet": "L14-30", "customer": "Lane \U0001f3e0 (invented)",
}  # fmt: skip


def ended(service: Service) -> tuple[Browser, str]:
    """A browser whose sign-in is gone, and the address of its person."""
    office = service.office()
    browser = office.browser("estimator")
    assert browser.get("/").status_code == 200
    assert browser.post("/sign-out", {"csrf": browser.csrf()}).status_code == 303
    return browser, office.emails["estimator"]


def form_of(answer: TestResponse, action: str) -> dict[str, str]:
    (form,) = html.fromstring(answer.text).xpath(f"//form[@action='{action}']")
    return {str(name): str(value or "") for name, value in form.fields.items()}


def sign_in_again(browser: Browser, asked: TestResponse, email: str) -> TestResponse:
    fields = form_of(asked, "/sign-in")
    return browser.post("/sign-in", {**fields, "email": email, "password": PASSWORD})


def test_a_form_is_held_through_the_sign_in_and_sent_by_a_button(service: Service) -> None:
    browser, email = ended(service)

    asked = browser.post("/quotes", {**TYPED, "csrf": "of the ended one"}, headers=PAGE)
    assert asked.status_code == 401
    assert "Nothing of what you typed is lost" in asked.text
    assert "of the ended one" not in asked.text

    wrong = browser.post(
        "/sign-in", {**form_of(asked, "/sign-in"), "email": email, "password": "not this one"}
    )
    assert wrong.status_code == 401
    ready = sign_in_again(browser, wrong, email)
    assert ready.status_code == 200
    fields = form_of(ready, "/quotes")
    assert {name: fields[name] for name in TYPED} == TYPED

    kept = browser.post("/quotes", fields)
    assert kept.status_code == 303, kept.text
    assert "Lane \U0001f3e0 (invented)" in browser.get(kept.headers["Location"]).text


def test_while_typing_the_page_says_so_where_the_estimate_stood(service: Service) -> None:
    browser, _ = ended(service)

    answer = browser.post(
        "/", TYPED, headers={**PAGE, "HX-Request": "true", "HX-Target": "div#answer"}
    )

    assert answer.status_code == 401
    told = html.fromstring(answer.text)
    assert told.get("id") == "answer"
    assert "What you typed is still here" in told.text_content()
    assert told.xpath(".//button[@type='submit']")


def test_a_program_gets_a_problem_and_a_file_is_not_held(service: Service) -> None:
    browser, _ = ended(service)

    assert browser.post("/api/v1/estimates", {"a": "b"}, headers=PAGE).is_json
    plain = browser.post("/quotes", TYPED, headers={"Accept": "application/json"})
    assert plain.is_json and plain.status_code == 401


def test_nothing_leads_out_of_the_house(service: Service) -> None:
    office = service.office()
    browser = service.browser()
    held = {"held_for": "https://elsewhere.example.org/", "held": json.dumps([["a", "b"]])}

    answer = browser.sign_in(office.emails["reader"], **held)

    assert answer.status_code == 303
    assert answer.headers["Location"] == "/"


def test_what_is_no_form_of_ours_is_left_out(service: Service) -> None:
    office = service.office()
    for held in ("", "{", "[1]", "[[1]]", json.dumps([["a", "b" * 70_000]]), "null"):
        answer = service.browser().sign_in(
            office.emails["reader"], held_for="/quotes", held=held, next="/lists"
        )
        assert answer.headers["Location"] == "/lists", held
