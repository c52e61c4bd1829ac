"""What a person sees who is refused: a page with what to do and a way back, never JSON."""

from dataclasses import dataclass, replace
from typing import Any

import pytest
from limits import RateLimitItemPerMinute
from lxml import html
from web.people.shared_service import SHARED, Browser, Office, Service
from web.people.test_people_pages import database
from werkzeug.test import TestResponse

from estimator.store.database import Database, open_database
from estimator.web import rate_limits
from estimator.web.app import create_app

__all__ = ["database"]

HTML = {"Accept": "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"}
LOST = "/quotes/00000000-0000-4000-8000-000000000000"


@dataclass(frozen=True)
class Shown:
    title: str
    words: str
    links: dict[str, str]
    page: Any


def shown(answer: TestResponse, status: int) -> Shown:
    """What stands on a page of a refusal."""
    assert answer.status_code == status, answer.text[:300]
    assert answer.headers["Content-Type"] == "text/html; charset=utf-8"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "Accept" in answer.headers["Vary"]
    page = html.fromstring(answer.text)
    (told,) = page.xpath("//*[@role='alert']")
    (title,) = told.xpath(".//h1")
    links = {str(each.text_content()): str(each.get("href")) for each in page.xpath("//main//a")}
    assert title.text_content() in page.xpath("//title")[0].text_content()
    return Shown(title.text_content(), " ".join(told.text_content().split()), links, page)


def test_a_reader_who_changes_something_is_told_whose_leave_it_takes(office: Office) -> None:
    browser = office.browser("reader")

    answer = send_html(browser, f"{LOST}/links", referrer="/quotes?from=50")

    found = shown(answer, 403)
    assert "role estimator; yours is reader. An owner can change that." in found.words
    assert found.links["Back to the page before"] == "/quotes?from=50"
    assert found.links["To the first page"] == "/"
    assert found.page.xpath("//nav")  # within the layout of all pages


def send_html(browser: Browser, path: str, *, referrer: str = "", **fields: str) -> TestResponse:
    headers = {**HTML, "Referer": SHARED.public_url + referrer} if referrer else dict(HTML)
    headers["Origin"] = SHARED.public_url
    return browser.post(path, {"csrf": browser.csrf(), **fields}, headers=headers)


def test_a_form_of_another_site_or_without_its_secret(office: Office) -> None:
    browser = office.browser("owner")

    forged = browser.post("/tokens", {"name": "x"}, headers=HTML)
    foreign = browser.post("/tokens", {}, headers={**HTML, "Origin": "https://evil.example"})

    assert "Load the page again" in shown(forged, 403).words
    assert "another web site" in shown(foreign, 403).words


@pytest.mark.parametrize("path", [LOST, "/no/such/page", "/tokens/x/revoke", "/api/resources/x"])
def test_what_there_is_not(office: Office, path: str) -> None:
    found = shown(office.browser("reader").get(path, headers=HTML), 404)

    assert found.title == "There is nothing here"
    assert "written wrongly" in found.words


def test_a_method_that_a_page_does_not_have(office: Office) -> None:
    answer = office.browser("owner").client.delete(
        "/quotes", base_url=SHARED.public_url, headers=HTML
    )

    assert shown(answer, 405).title == "This cannot be done here"
    assert {"GET", "POST"} <= set(answer.headers["Allow"].split(", "))


def test_a_file_that_is_too_large(office: Office) -> None:
    small = Service(office.service.database, replace(SHARED, max_body_bytes=3_000))
    browser = small.browser()
    browser.sign_in(office.emails["estimator"])

    answer = send_html(browser, "/tokens", referrer="/tokens", name="x" * 4_000)

    found = shown(answer, 413)
    assert "smaller file" in found.words
    assert found.links["Back to the page before"] == "/tokens"


def test_too_many_requests_tell_when_to_go_on(office: Office) -> None:
    slow = Service(office.service.database, replace(SHARED, requests_per_minute=3))
    browser = slow.browser()
    browser.sign_in(office.emails["reader"])

    answers = [browser.get("/quotes", headers=HTML) for _ in range(4)]

    found = shown(answers[-1], 429)
    assert f"Try again in {answers[-1].headers['Retry-After']} s" in found.words


def test_a_customer_is_shown_nothing_of_the_offices_pages(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rate_limits.Tries, "_limit", lambda _: RateLimitItemPerMinute(1, 15))
    client = office.service.app.test_client()
    place = {"REMOTE_ADDR": "2001:db8::77"}
    for _ in range(2):
        answer = client.get("/offer/x", headers=HTML, environ_base=place)

    found = shown(answer, 429)
    assert not found.page.xpath("//nav") and found.links == {}
    assert "/quotes" not in answer.text


def test_who_is_signed_out_while_filling_in_a_form(office: Office) -> None:
    browser = office.browser("owner")
    headers = {**HTML, "Referer": f"{SHARED.public_url}/tokens"}
    browser.client.delete_cookie("__Host-estimator_session", domain="estimates.example.org")

    answer = browser.post("/tokens", {"name": "x"}, headers=headers)

    assert answer.status_code == 401
    (form,) = html.fromstring(answer.text).xpath("//form[@action='/sign-in']")
    assert (form.fields["next"], form.fields["held_for"]) == ("/tokens", "/tokens")


@pytest.fixture
def away() -> Database:
    """A database that nobody answers for."""
    return open_database("postgresql://nobody@127.0.0.1:9/none", busy_ms=200)


def test_a_database_that_is_away_needs_none_for_the_page_that_tells_so(away: Database) -> None:
    service = Service(away)
    browser = service.browser()
    browser.client.set_cookie("__Host-estimator_session", "s_x", domain="estimates.example.org")

    for path in ("/quotes", "/people", "/", "/offer/x", "/join/x"):
        answer = browser.get(path, headers=HTML)
        found = shown(answer, 503)
        assert "Nothing was changed" in found.words
        assert f"Try again in {answer.headers['Retry-After']} s" in found.words
    away.close()


def test_a_fault_of_ours_tells_its_number_and_nothing_of_the_inside(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("made to fail")

    monkeypatch.setattr("estimator.web.pages.quotes.list_rows", broken)

    answer = office.browser("reader").get("/quotes", headers=HTML)

    found = shown(answer, 500)
    assert answer.headers["X-Request-ID"] in found.words
    assert "made to fail" not in answer.text


@pytest.mark.parametrize("accept", ["*/*", "application/json", "", None])
def test_programs_get_problems_as_before_on_every_route(office: Office, accept: str | None) -> None:
    headers = {} if accept is None else {"Accept": accept}
    for path in ("/no/such/page", LOST):
        answer = office.browser("reader").get(path, headers=headers)
        assert (answer.status_code, answer.content_type) == (404, "application/problem+json")
    answer = office.program("reader")("GET", "/api/v1/nothing", headers=HTML)
    assert answer.content_type == "application/problem+json"


def test_a_part_of_a_page_that_is_exchanged_gets_the_message_alone(office: Office) -> None:
    answer = office.browser("reader").get(LOST, headers={**HTML, "HX-Request": "true"})

    assert answer.status_code == 404
    assert answer.text.strip().startswith('<div class="faults" role="alert">')
    assert "<nav" not in answer.text


@pytest.mark.parametrize(
    "referrer",
    [
        "https://evil.example/x", "//evil.example/x", "javascript:alert(1)", "\\\\evil.example",
        "http://localhost//evil.example", 'http://localhost/"><script>alert(1)</script>',
    ],
)  # fmt: skip
def test_the_way_back_leads_only_to_pages_of_ours(referrer: str) -> None:
    client = create_app().test_client()

    answer = client.get('/<script>alert(1)</script>"', headers={**HTML, "Referer": referrer})

    found = shown(answer, 404)
    assert all(link.startswith("/") and not link.startswith("//") for link in found.links.values())
    assert found.page.xpath("//script") == []


def test_local_mode_has_the_same_page() -> None:
    client = create_app().test_client()

    found = shown(client.post("/no/such", headers=HTML), 404)
    other = shown(client.get("/", headers={**HTML, "Host": "evil.example"}), 421)

    assert found.links == {"To the first page": "/"}
    assert "this machine" in other.words
