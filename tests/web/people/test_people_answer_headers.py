"""Headers of every kind of answer: what browsers and caches may do with it."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from web.api.furnished import JOB
from web.people.shared_service import SHARED, Office, Service
from web.people.test_people_pages import database
from werkzeug.test import TestResponse

from estimator.config import Config
from estimator.web.app import create_app

__all__ = ["database"]

CSP = {
    "default-src 'self'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'self'",
    "object-src 'none'",
}  # fmt: skip
HTML = {"Accept": "text/html"}
Asking = Callable[[Office], TestResponse]


def browsing(path: str, **how: Any) -> Asking:
    return lambda office: office.browser("owner").get(path, **how)


def by_program(method: str, path: str, **how: Any) -> Asking:
    return lambda office: office.program("owner")(method, path, **how)


def stranger(method: str, path: str, **how: Any) -> Asking:
    return lambda office: office.service.app.test_client().open(
        path, method=method, base_url=SHARED.public_url, buffered=True, **how
    )


def too_large(office: Office) -> TestResponse:
    small = Service(office.service.database, replace(SHARED, max_body_bytes=2_000))
    return small.app.test_client().post(
        "/sign-in", data={"email": "a" * 3_000}, base_url=SHARED.public_url
    )


def paper(office: Office) -> TestResponse:
    program = office.program("owner")
    job = program("POST", "/api/v1/jobs", json={"name": "House", "description": JOB}).json["id"]
    quote = program("POST", "/api/v1/quotes", json={"job_id": job}).json["id"]
    return program("GET", f"/quotes/{quote}/1/papers/estimate.xlsx")


# What is asked, the status, how the media type begins.
KINDS: dict[str, tuple[Asking, int, str]] = {
    "page": (browsing("/quotes"), 200, "text/html"),
    "page with what was typed": (browsing("/?wall=brick"), 200, "text/html"),
    "page for everybody": (stranger("GET", "/sign-in"), 200, "text/html"),
    "JSON": (by_program("GET", "/api/v1/customers"), 200, "application/json"),
    "made": (by_program("POST", "/api/v1/customers", json={"name": "A"}), 201, "application/json"),
    "nothing": (by_program("DELETE", "/api/v1/tokens/{token}"), 204, ""),
    "file": (paper, 200, "application/vnd.openxmlformats"),
    "static": (stranger("GET", "/static/house.css"), 200, "text/css"),
    "interface": (by_program("GET", "/api/openapi.json"), 200, "application/json"),
    "health": (stranger("GET", "/health"), 200, "application/json"),
    "redirect": (stranger("GET", "/quotes"), 303, "text/html"),
    "options": (by_program("OPTIONS", "/api/v1/customers"), 200, "text/html"),
    "401": (stranger("GET", "/api/v1/customers"), 401, "application/problem+json"),
    "403": (
        lambda office: office.program("reader")("POST", "/api/v1/customers"),
        403, "application/problem+json",
    ),
    "404": (by_program("GET", "/api/v1/nothing"), 404, "application/problem+json"),
    "404 page": (browsing("/nothing", headers=HTML), 404, "text/html"),
    "404 static": (stranger("GET", "/static/x.css"), 404, "application/problem+json"),
    "404 link": (stranger("GET", "/offer/x"), 404, "text/html"),
    "405": (by_program("PATCH", "/api/v1/customers"), 405, "application/problem+json"),
    "413": (too_large, 413, "application/problem+json"),
    "422": (by_program("POST", "/api/v1/customers", json={}), 422, "application/problem+json"),
    "500": (by_program("GET", "/api/v1/jobs"), 500, "application/problem+json"),
    "500 page": (browsing("/quotes", headers=HTML), 500, "text/html"),
}  # fmt: skip


def break_things(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("made to fail")

    for module in ("estimator.web.api.jobs.list_page", "estimator.web.pages.quotes.list_rows"):
        monkeypatch.setattr(module, broken)


def policy(answer: TestResponse) -> set[str]:
    return {part.strip() for part in answer.headers["Content-Security-Policy"].split(";")}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_answer_has_them(
    office: Office, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask, status, media = KINDS[kind]
    if kind == "nothing":
        rows = office.program("owner")("GET", "/api/v1/tokens").get_json()["rows"]
        ask = by_program("DELETE", f"/api/v1/tokens/{rows[0]['id']}")
    if status == 500:
        break_things(monkeypatch)

    answer = ask(office)

    assert answer.status_code == status, answer.text[:300]
    assert answer.headers.get("Content-Type", "").startswith(media)
    assert policy(answer) == CSP
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert answer.headers["Strict-Transport-Security"] == "max-age=31536000"
    assert answer.headers["X-Request-ID"]
    # Only what is the same for everybody may be kept by a cache.
    assert answer.headers["Cache-Control"] == ("no-cache" if kind == "static" else "no-store")
    assert "Server" not in answer.headers
    for cookie in answer.headers.getlist("Set-Cookie"):
        assert {"Secure", "HttpOnly", "SameSite=Lax"} <= {
            part.strip() for part in cookie.split(";")
        }
    if kind == "file":
        assert answer.headers["Content-Disposition"].startswith("attachment; ")


def test_cookies_of_a_sign_in_and_of_its_end(office: Office) -> None:
    browser = office.service.browser()
    begun = browser.sign_in(office.emails["owner"])
    ended = browser.post("/sign-out", {"csrf": browser.csrf()})

    for answer in (begun, ended):
        cookies = answer.headers.getlist("Set-Cookie")
        assert len(cookies) == 2
        for cookie in cookies:
            assert cookie.startswith("__Host-estimator_")
            parts = {part.strip() for part in cookie.split(";")}
            assert {"Secure", "HttpOnly", "SameSite=Lax", "Path=/"} <= parts


@pytest.mark.parametrize(
    ("config", "cache"),
    [
        (replace(SHARED, public_url="http://estimates.example.org"), "no-store"),
        (Config(), "private, no-cache"),
    ],
    ids=["without https", "local"],
)
def test_where_there_is_no_https_nothing_insists_on_it(
    office: Office, config: Config, cache: str
) -> None:
    service = Service(office.service.database, config)
    token = {"Authorization": f"Bearer {office.tokens['owner']}"}

    answer = service.app.test_client().get("/credit", headers=token)

    assert "Strict-Transport-Security" not in answer.headers
    assert answer.headers["Cache-Control"] == cache
    assert policy(answer) == CSP


def test_a_problem_is_kept_by_no_cache_in_local_mode_either() -> None:
    answer = create_app().test_client().get("/nothing")

    assert (answer.status_code, answer.headers["Cache-Control"]) == (404, "no-store")
