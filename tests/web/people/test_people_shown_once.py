"""Secrets that a form makes: made once whatever is reloaded, shown once, to whoever made them."""

from collections.abc import Iterator
from typing import Any

import pytest
from lxml import html
from web.api.furnished import JOB
from web.people.shared_service import SHARED, Browser, Office
from web.people.test_people_pages import database, send

from estimator.store.tables.base import OwnedRow
from estimator.store.tables.organisations import AccessTokenRow, InvitationRow
from estimator.store.tables.quotes import CustomerLinkRow

__all__ = ["database"]

FORMS: dict[str, tuple[type[OwnedRow], str, dict[str, str]]] = {
    "token": (AccessTokenRow, "/tokens", {"name": "a sheet", "role": "reader", "days": "30"}),
    "invitation": (
        InvitationRow, "/people/invitations",
        {"email": "new@example.org", "role": "reader", "days": "3"},
    ),
    "link": (CustomerLinkRow, "/quotes/{quote}/links", {}),
}  # fmt: skip
Made = tuple[Office, Browser, type[OwnedRow], str, Any]


@pytest.fixture(params=FORMS)
def made(office: Office, request: pytest.FixtureRequest) -> Iterator[Made]:
    """A form that was sent, and the answer to it."""
    table, path, fields = FORMS[request.param]
    program = office.program("owner")
    job = program("POST", "/api/v1/jobs", json={"name": "House", "description": JOB}).json["id"]
    quote = program("POST", "/api/v1/quotes", json={"job_id": job}).json["id"]
    browser = office.browser("owner")
    answer = send(browser, path.format(quote=quote), **fields)
    yield office, browser, table, path.format(quote=quote), answer


def shown(answer: Any) -> list[str]:
    return [str(each) for each in html.fromstring(answer.text).xpath("//*[@class='link']//@value")]


def rows(office: Office, table: type[OwnedRow]) -> int:
    with office.service.database.reading() as session:
        return len(session.scalars(office.scope.rows(table)).all())


def test_it_is_shown_on_the_next_page_and_a_reload_neither_shows_nor_repeats_it(made: Made) -> None:
    office, browser, table, _, answer = made
    before = rows(office, table)
    assert answer.status_code == 303
    target = answer.headers["Location"]
    assert shown(answer) == [] and "_" not in target.rpartition("/")[2]

    first, again = browser.get(target), browser.get(target)

    assert len(shown(first)) == 1
    assert first.headers["Cache-Control"] == "no-store"
    assert shown(again) == []
    assert rows(office, table) == before


def test_the_cookie_that_carries_it_is_kept_from_scripts_and_other_sites(made: Made) -> None:
    *_, answer = made
    (cookie,) = answer.headers.getlist("Set-Cookie")

    assert cookie.startswith("__Host-estimator_once=")
    for part in ("Secure", "HttpOnly", "SameSite=Lax", "Path=/", "Max-Age=60"):
        assert f"; {part}" in cookie
    secret = cookie.split("=", 1)[1].split(";")[0]
    assert secret not in answer.text + answer.headers["Location"]


def test_another_office_is_shown_nothing_that_somebody_put_into_its_cookie(made: Made) -> None:
    """Nor one's own page something that is none of its secrets."""
    office, _, _, _, answer = made
    secret = answer.headers["Set-Cookie"].split("=", 1)[1].split(";")[0]
    target = answer.headers["Location"]
    other = office.service.office().browser("owner")
    own = office.browser("owner")
    for browser, planted in ((other, secret), (own, secret[:2] + "x" * 43), (own, "<b>")):
        browser.client.set_cookie(
            "__Host-estimator_once", planted, domain="estimates.example.org", secure=True
        )
        page = browser.get(target)
        assert planted not in page.text
        assert 'class="link"' not in page.text


def test_a_customers_link_bears_the_public_address_whatever_the_host_of_the_request(
    office: Office,
) -> None:
    program = office.program("owner")
    job = program("POST", "/api/v1/jobs", json={"name": "House", "description": JOB}).json["id"]
    quote = program("POST", "/api/v1/quotes", json={"job_id": job}).json["id"]
    browser = office.browser("owner")
    send(browser, f"/quotes/{quote}/links")

    page = browser.get(f"/quotes/{quote}", headers={"Host": "evil.example"})

    # The test's browser, as a real one, sends its cookies to their own host only.
    assert page.status_code == 303
    (link,) = shown(browser.get(f"/quotes/{quote}"))
    assert link.startswith(f"{SHARED.public_url}/offer/q_")
