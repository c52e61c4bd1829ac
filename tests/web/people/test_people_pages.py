"""The page for people and invitations in shared mode."""

import re
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urlsplit
from uuid import uuid4

import pytest
from lxml import html
from sqlalchemy import select
from web.people.shared_service import PASSWORD, SHARED, Browser, Office
from werkzeug.test import TestResponse

from estimator.config import Config
from estimator.store.database import Database, open_database
from estimator.store.people import add_membership, find_person
from estimator.store.scope import Scope
from estimator.store.tables.work import AuditEntryRow
from estimator.web.app import create_app


@pytest.fixture(scope="module")
def database(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """What the pages show is the same whatever the database; the store's tests use both."""
    file = tmp_path_factory.mktemp("people_pages") / "estimator.sqlite"
    shutil.copy(sqlite_template, file)
    opened = open_database(f"sqlite:///{file}")
    yield opened
    opened.close()


def send(browser: Browser, path: str, **fields: str) -> TestResponse:
    return browser.post(path, {"csrf": browser.csrf(), **fields})


def followed(browser: Browser, path: str, **fields: str) -> TestResponse:
    """The page that a form leads on to."""
    answer = send(browser, path, **fields)
    assert answer.status_code == 303, answer.text
    assert "_once=" in answer.headers["Set-Cookie"]
    return browser.get(answer.headers["Location"])


def row_of(browser: Browser, office: Office, role: str) -> html.HtmlElement:
    key = office.people[role]  # type: ignore[index]
    page = html.fromstring(browser.get("/people").text)
    return page.xpath(f"//section[@id='person-{key}']")[0]


def seen(browser: Browser, office: Office, role: str) -> str:
    return str(row_of(browser, office, role).xpath(".//input[@name='seen']/@value")[0])


def beside(answer: TestResponse, name: str, form: str = "") -> list[str]:
    """The faults that the field of a name refers to."""
    page = html.fromstring(answer.text)
    told = page.xpath(f"//form[contains(@action, '{form}')]//*[@name='{name}'][@aria-invalid]")
    assert len(told) == 1, answer.text
    keys = [key for key in told[0].get("aria-describedby").split() if key.startswith("fault-")]
    return [page.get_element_by_id(key).text_content() for key in keys]


def test_an_owner_sees_everybody_with_role_and_state_from_the_account(office: Office) -> None:
    browser = office.browser("owner")

    assert 'href="/people"' in browser.get("/account").text
    page = browser.get("/people")

    assert page.headers["Cache-Control"] == "no-store"
    for role, email in office.emails.items():
        words = row_of(browser, office, role).text_content()
        assert f"{email}, {role}, may sign in" in words
    assert page.text.count('id="person-') == 3  # nobody of another organisation


@pytest.mark.parametrize("role", ["estimator", "reader"])
def test_people_are_an_owners_business(office: Office, role: str) -> None:
    browser = office.browser(role)  # type: ignore[arg-type]

    assert "/people" not in browser.get("/account").text
    assert browser.get("/people").status_code == 403
    key = office.people["reader"]
    for path in ("/people/invitations", f"/people/{key}/role", f"/people/{key}/shut-out"):
        assert send(browser, path, email="a@example.org", role="owner").status_code == 403


def test_a_program_and_local_mode_have_no_such_page(office: Office, tmp_path: Path) -> None:
    local = create_app(Config(database_url=f"sqlite:///{tmp_path}/x.sqlite")).test_client()

    for path in ("/people", "/tokens"):
        assert office.program("owner")("GET", path).status_code == 404
        assert local.get(path).status_code == 404
    made = office.program("owner")("POST", "/tokens", data={"name": "x", "days": "9"})
    assert made.status_code == 404


def test_an_invitation_is_shown_once_and_lets_the_person_in(office: Office) -> None:
    browser, email = office.browser("owner"), f"new.{uuid4().hex[:8]}@example.org"

    made = followed(browser, "/people/invitations", email=email, role="estimator", days="3")
    found = re.search(rf'value="({SHARED.public_url}/join/i_[^"]+)"', made.text)
    assert made.status_code == 200 and found is not None, made.text
    assert made.headers["Cache-Control"] == "no-store"
    secret = found[1].rpartition("/")[2]
    listed = browser.get("/people").text
    assert secret not in listed
    assert f"{email} as estimator, until" in listed

    joining = office.service.browser()
    joined = joining.post(urlsplit(found[1]).path, {"name": "New", "password": PASSWORD})
    assert joined.status_code == 303
    after = browser.get("/people").text
    assert f"{email} as estimator, until" not in after
    assert f"{email}, estimator, may sign in" in after


def test_an_invitation_that_is_revoked_is_gone_and_useless(office: Office) -> None:
    browser = office.browser("owner")
    made = followed(browser, "/people/invitations", email="x@example.org", role="reader", days="7")
    path = str(html.fromstring(made.text).xpath("//*[@class='link']//input/@value")[0])
    revoke = html.fromstring(made.text).xpath("//form[contains(@action,'/revoke')]/@action")[0]

    done = send(browser, str(revoke))

    assert (done.status_code, done.headers["Location"]) == (303, "/people#invitations")
    assert "x@example.org" not in browser.get("/people").text
    assert office.service.browser().get(urlsplit(path).path).status_code == 404
    other = office.service.office().browser("owner")
    assert send(other, str(revoke)).status_code == 404


def test_each_fault_of_an_invitation_stands_beside_its_field_and_nothing_is_lost(
    office: Office,
) -> None:
    browser = office.browser("owner")

    answer = send(browser, "/people/invitations", email="no <address>", role="boss", days="99")

    assert answer.status_code == 422
    assert "name@example.org" in beside(answer, "email")[0]
    assert "must be one of" in beside(answer, "role", "/invitations")[0]
    assert beside(answer, "days") == ["Check: must be 1 to 30"]
    page = html.fromstring(answer.text)
    assert page.xpath("//input[@name='email']/@value") == ["no <address>"]
    assert page.xpath("//input[@name='days']/@value") == ["99"]
    assert "None." in page.xpath("//section[@id='invitations']")[0].text_content()


def test_empty_fields_and_a_member_are_refused_beside_the_field(office: Office) -> None:
    browser = office.browser("owner")

    empty = send(browser, "/people/invitations", email=" ", role="reader", days="")
    known = send(
        browser,
        "/people/invitations",
        email=office.emails["reader"].upper(),
        role="owner",
        days="2",
    )

    assert "missing" in beside(empty, "email")[0]
    assert "whole number" in beside(empty, "days")[0]
    assert "already" in beside(known, "email")[0]
    chosen = html.fromstring(known.text).xpath("//select[@id='role']/option[@selected]/@value")
    assert chosen == ["owner"]


def test_a_role_is_changed_from_the_version_that_was_seen(office: Office) -> None:
    browser, key = office.browser("owner"), office.people["reader"]
    version = seen(browser, office, "reader")

    changed = send(browser, f"/people/{key}/role", role="estimator", seen=version)
    stale = send(browser, f"/people/{key}/role", role="owner", seen=version)
    odd = send(browser, f"/people/{key}/role", role="boss", seen=seen(browser, office, "reader"))
    forged = send(browser, f"/people/{key}/role", role="owner", seen="-1' or")

    assert (changed.status_code, changed.headers["Location"]) == (303, f"/people#person-{key}")
    assert (stale.status_code, odd.status_code, forged.status_code) == (412, 422, 412)
    assert "Somebody changed this" in beside(stale, "role", str(key))[0]
    assert "must be one of" in beside(odd, "role", str(key))[0]
    row = html.fromstring(stale.text).xpath(f"//section[@id='person-{key}']")[0]
    assert row.xpath(".//option[@selected]/@value") == ["owner"]  # as it was chosen
    assert row.xpath(".//input[@name='seen']/@value")[0] != version
    assert office.program("reader")("GET", "/api/v1/me").get_json()["role"] == "estimator"


def test_the_last_owner_stays_one_and_is_told_why(office: Office) -> None:
    browser, key = office.browser("owner"), office.people["owner"]

    for action in ("role", "take-out"):
        answer = send(
            browser, f"/people/{key}/{action}", role="reader", seen=seen(browser, office, "owner")
        )
        assert answer.status_code == 409
        assert "needs an owner" in beside(answer, "role", str(key))[0]
    assert send(browser, f"/people/{key}/shut-out").status_code == 409
    assert browser.get("/people").status_code == 200


def test_an_owner_who_is_shut_out_does_not_count_as_one(office: Office) -> None:
    browser, second = office.browser("owner"), office.people["estimator"]
    version = seen(browser, office, "estimator")
    send(browser, f"/people/{second}/role", role="owner", seen=version)
    assert send(browser, f"/people/{second}/shut-out").status_code == 303

    own = office.people["owner"]
    left = send(browser, f"/people/{own}/take-out", seen=seen(browser, office, "owner"))

    assert left.status_code == 409


def test_an_owner_who_gives_up_the_role_lands_where_they_may_be(office: Office) -> None:
    browser, own = office.browser("owner"), office.people["owner"]
    version = seen(browser, office, "estimator")
    send(browser, f"/people/{office.people['estimator']}/role", role="owner", seen=version)

    given_up = send(
        browser, f"/people/{own}/role", role="reader", seen=seen(browser, office, "owner")
    )

    assert given_up.headers["Location"] == "/account"
    assert browser.get("/people").status_code == 403


def test_somebody_shut_out_is_out_at_once_until_let_in_again(office: Office) -> None:
    owner, reader = office.browser("owner"), office.browser("reader")
    key = office.people["reader"]

    assert send(owner, f"/people/{key}/shut-out").status_code == 303
    assert "shut out" in row_of(owner, office, "reader").text_content()
    assert reader.get("/account").status_code == 303  # to the sign-in
    assert office.program("reader")("GET", "/api/v1/me").status_code == 401
    assert office.service.browser().sign_in(office.emails["reader"]).status_code == 401

    assert send(owner, f"/people/{key}/let-in").status_code == 303
    assert office.program("reader")("GET", "/api/v1/me").status_code == 200
    assert office.service.browser().sign_in(office.emails["reader"]).status_code == 303
    with office.service.database.reading() as session:
        done = session.scalars(
            select(AuditEntryRow.action)
            .where(
                AuditEntryRow.organisation_id == office.scope.organisation_id,
                AuditEntryRow.subject_id == str(key),
                AuditEntryRow.by_person == office.people["owner"],
            )
            .order_by(AuditEntryRow.id)
            .execution_options(**office.scope.options)
        ).all()
    assert done == ["shut out", "let in"]


def test_nobody_is_shut_out_of_an_organisation_by_the_owner_of_another(office: Office) -> None:
    other = office.service.office()
    key, at = office.people["reader"], datetime.now(UTC)
    owner = office.browser("owner")
    assert send(other.browser("owner"), f"/people/{key}/shut-out").status_code == 404

    with office.service.database.writing() as session:
        add_membership(session, Scope(other.scope.organisation_id, at, None, "T"), key, "reader")
    answer = send(owner, f"/people/{key}/shut-out")

    assert answer.status_code == 409
    assert "outside this organisation" in beside(answer, "role", str(key))[0]
    with office.service.database.reading() as session:
        assert find_person(session, key).disabled_at is None
    # Out of this organisation alone is theirs to decide.
    version = seen(owner, office, "reader")
    assert send(owner, f"/people/{key}/take-out", seen=version).status_code == 303
    assert f"person-{key}" not in owner.get("/people").text
    assert f"person-{key}" in other.browser("owner").get("/people").text


def test_somebody_who_is_gone_meanwhile_is_told_above(office: Office) -> None:
    browser, key = office.browser("owner"), office.people["reader"]
    version = seen(browser, office, "reader")
    assert send(browser, f"/people/{key}/take-out", seen=version).status_code == 303

    answer = send(browser, f"/people/{key}/role", role="owner", seen=version)

    assert answer.status_code == 404
    words = html.fromstring(answer.text).xpath("//*[@class='faults']")[0].text_content()
    assert "There is no person" in words


def test_a_form_without_the_secret_changes_nobody(office: Office) -> None:
    browser, key = office.browser("owner"), office.people["reader"]

    for action in ("role", "shut-out", "take-out"):
        answer = browser.post(f"/people/{key}/{action}", {"role": "owner", "seen": "1"})
        assert answer.status_code == 403
    assert office.program("reader")("GET", "/api/v1/me").get_json()["role"] == "reader"
