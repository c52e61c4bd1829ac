"""Sign in and out, forged forms, joining by an invitation, many tries."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from argon2 import PasswordHasher, Type
from lxml import html
from sqlalchemy import select
from web.people.shared_service import PASSWORD, SHARED, Office, Service

from estimator.config import Config
from estimator.finding import InputRefused
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.tables.organisations import LoginSessionRow, PersonRow
from estimator.web.next_page import next_page
from estimator.web.passwords import password_fits, password_hash


def test_whoever_knows_the_password_gets_in_and_out_again(office: Office) -> None:
    browser = office.service.browser()

    entered = browser.sign_in(office.emails["estimator"].upper(), next="/compare?inlet=L14-30")
    seen = browser.get("/api/v1/me")
    left = browser.post("/sign-out", {"csrf": browser.csrf()})

    assert (entered.status_code, entered.headers["Location"]) == (303, "/compare?inlet=L14-30")
    assert seen.get_json()["by"] == "session"
    assert seen.get_json()["organisation_id"] == office.scope.organisation_id
    assert left.status_code == 303
    assert browser.get("/api/v1/me").status_code == 401


def test_the_cookies_are_kept_from_scripts_other_sites_and_plain_http(office: Office) -> None:
    entered = office.service.browser().sign_in(office.emails["owner"])

    cookies = entered.headers.getlist("Set-Cookie")
    assert [cookie.partition("=")[0] for cookie in cookies] == [
        "__Host-estimator_session", "__Host-estimator_csrf",
    ]  # fmt: skip
    for cookie in cookies:
        assert {"Secure", "HttpOnly", "Path=/", "SameSite=Lax"} <= set(cookie.split("; "))
        assert "Domain" not in cookie
    assert entered.headers["Cache-Control"] == "no-store"


def test_a_session_that_was_left_is_worthless_to_who_kept_its_cookie(office: Office) -> None:
    browser = office.browser("reader")
    cookie = browser.client.get_cookie("__Host-estimator_session", domain="estimates.example.org")
    assert cookie is not None
    browser.post("/sign-out", {"csrf": browser.csrf()})
    browser.client.set_cookie(
        "__Host-estimator_session", cookie.value, domain="estimates.example.org", secure=True
    )

    assert browser.get("/api/v1/me").status_code == 401


@pytest.mark.parametrize(
    ("email", "password"),
    [("nobody@example.org", PASSWORD), ("", PASSWORD), ("@", "x" * 5000), ("a\x00b@c", "\x00")],
)
def test_wrong_addresses_and_passwords_are_answered_alike(
    service: Service, email: str, password: str
) -> None:
    answer = service.browser().sign_in(email, password)

    assert answer.status_code == 401
    assert "do not go together" in answer.text


def test_somebody_disabled_cannot_sign_in_and_is_out_at_once(office: Office) -> None:
    browser = office.browser("reader")
    with office.service.database.writing() as session:
        person = session.get(PersonRow, office.people["reader"])
        assert person is not None
        person.disabled_at = datetime.now(UTC)

    assert browser.get("/api/v1/me").status_code == 401
    assert office.program("reader")("GET", "/api/v1/me").status_code == 401
    assert office.service.browser().sign_in(office.emails["reader"]).status_code == 401


def test_a_session_ends_by_itself(office: Office) -> None:
    browser = office.browser("reader")
    with office.service.database.writing() as session:
        row = session.scalars(
            select(LoginSessionRow)
            .where(LoginSessionRow.person_id == office.people["reader"])
            .execution_options(**{EVERY_ORGANISATION: True})
        ).one()
        assert row.expires_at - row.created_at == timedelta(hours=SHARED.session_hours)
        row.expires_at = datetime.now(UTC)

    assert browser.get("/api/v1/me").status_code == 401


def test_a_page_leads_to_the_sign_in_and_back(service: Service) -> None:
    answer = service.browser().get("/credit?inlet=L14-30&wall=brick")

    assert answer.status_code == 303
    assert answer.headers["Location"] == "/sign-in?next=%2Fcredit%3Finlet%3DL14-30%26wall%3Dbrick"


@pytest.mark.parametrize(
    "asked",
    [
        "https://attacker.example", "//attacker.example", "/\\attacker.example", "javascript:x",
        "\\\\attacker.example", "/a\nb", "attacker.example", "", None, "/" + "x" * 5000,
        "///attacker.example", "/\t/attacker.example",
    ],
)  # fmt: skip
def test_nobody_is_led_to_another_site_after_signing_in(asked: str | None) -> None:
    assert next_page(asked) == "/"


def test_a_form_without_the_secret_of_the_session_changes_nothing(office: Office) -> None:
    browser, other = office.browser("owner"), office.browser("owner")

    for given in ({}, {"csrf": ""}, {"csrf": "guess"}, {"csrf": other.csrf()}):
        answer = browser.post("/sign-out", given)
        assert answer.status_code == 403, given
    assert browser.get("/api/v1/me").status_code == 200
    assert (
        browser.post("/sign-out", {}, headers={"X-CSRF-Token": browser.csrf()}).status_code == 303
    )


def test_the_questions_carry_the_secret(office: Office) -> None:
    browser = office.browser("reader")
    page = html.fromstring(browser.get("/").text)

    assert page.xpath("//form[@id='ask']//input[@name='csrf']/@value") == [browser.csrf()]
    assert browser.post("/", {"wall": "brick"}).status_code == 403
    answer = browser.post("/", {"wall": "brick", "csrf": browser.csrf()})
    assert answer.status_code == 303
    assert "csrf" not in answer.headers["Location"]


def test_a_session_may_use_the_interface_with_the_secret_as_a_header(office: Office) -> None:
    browser = office.browser("estimator")
    body = {"json": {"name": "A. Homeowner"}, "base_url": SHARED.public_url}

    without = browser.client.post("/api/v1/customers", **body)
    given = browser.client.post(
        "/api/v1/customers", headers={"X-CSRF-Token": browser.csrf()}, **body
    )

    assert (without.status_code, given.status_code) == (403, 201)


def test_many_wrong_passwords_have_to_wait_whoever_tries_and_the_right_one_too(
    office: Office,
) -> None:
    browser = office.service.browser()
    email = office.emails["owner"]

    tried = [browser.sign_in(email, "a wrong password").status_code for _ in range(7)]
    right = browser.sign_in(email)
    elsewhere = office.service.browser().post(
        "/sign-in", {"email": email, "password": PASSWORD},
        environ_base={"REMOTE_ADDR": "192.0.2.9"},
    )  # fmt: skip

    assert tried == [401] * SHARED.sign_in_tries + [429] * 2
    assert right.status_code == 429
    assert 0 < int(right.headers["Retry-After"]) <= 15 * 60
    assert elsewhere.status_code == 303  # so that nobody can lock somebody else out


def test_the_tries_are_counted_by_all_processes_together(office: Office) -> None:
    second = Service(office.service.database)
    email = office.emails["owner"]
    tried = [
        each.browser().sign_in(email, "a wrong password").status_code
        for _ in range(3)
        for each in (office.service, second)
    ]

    assert tried == [401] * 5 + [429]


def test_signing_in_forgets_the_tries_before(office: Office) -> None:
    browser = office.service.browser()
    for _ in range(3):
        for _ in range(SHARED.sign_in_tries - 1):
            assert browser.sign_in(office.emails["owner"], "wrong").status_code == 401
        assert browser.sign_in(office.emails["owner"]).status_code == 303


def test_another_password_ends_the_other_sign_ins(office: Office) -> None:
    browser, other = office.browser("owner"), office.browser("owner")
    fresh = "eight other invented words"

    def change(password: str, new: str) -> int:
        form = {"csrf": browser.csrf(), "password": password, "new_password": new}
        return browser.post("/account/password", form).status_code

    assert change("wrong", fresh) == 403
    assert change(PASSWORD, "too short") == 422
    assert change(PASSWORD, fresh) == 303
    assert browser.get("/api/v1/me").status_code == 200
    assert other.get("/api/v1/me").status_code == 401
    assert office.service.browser().sign_in(office.emails["owner"]).status_code == 401
    assert office.service.browser().sign_in(office.emails["owner"], fresh).status_code == 303


def invite(office: Office, email: str, role: str = "estimator") -> str:
    browser = office.browser("owner")
    answer = browser.client.post(
        "/api/v1/invitations", json={"email": email, "role": role},
        base_url=SHARED.public_url, headers={"X-CSRF-Token": browser.csrf()},
    )  # fmt: skip
    assert answer.status_code == 201, answer.text
    link = str(answer.get_json()["link"])
    assert link.startswith(f"{SHARED.public_url}/join/i_")
    return link.removeprefix(SHARED.public_url)


def test_an_invited_person_joins_once_with_a_password_of_their_own(office: Office) -> None:
    email = f"new.{uuid4().hex[:6]}@example.org"
    link, browser = invite(office, email), office.service.browser()

    page = browser.get(link)
    short = browser.post(link, {"name": "New Person", "password": "short"})
    nameless = browser.post(link, {"password": PASSWORD})
    joined = browser.post(link, {"name": "New Person", "password": PASSWORD})
    again = office.service.browser().post(link, {"name": "Other", "password": PASSWORD})

    assert email in page.text
    assert (short.status_code, nameless.status_code) == (422, 422)
    assert joined.status_code == 303
    assert browser.get("/api/v1/me").get_json()["role"] == "estimator"
    assert again.status_code == 404
    assert office.service.browser().sign_in(email).status_code == 303


def test_an_invitation_of_somebody_with_an_account_asks_for_its_password(
    service: Service, office: Office
) -> None:
    other = service.office()
    link, browser = invite(office, other.emails["owner"], "reader"), service.browser()

    assert browser.post(link, {"name": "x", "password": "not the one at all"}).status_code == 403
    assert browser.post(link, {"password": PASSWORD}).status_code == 303
    assert browser.get("/api/v1/me").get_json()["organisation_id"] == office.scope.organisation_id

    # And goes on for the other organisation, where they are an owner.
    form = {"csrf": browser.csrf(), "organisation": str(other.scope.organisation_id)}
    assert browser.post("/account/organisation", form).status_code == 303
    seen = browser.get("/api/v1/me").get_json()
    assert (seen["organisation_id"], seen["role"]) == (other.scope.organisation_id, "owner")
    form = {"csrf": browser.csrf(), "organisation": str(service.office().scope.organisation_id)}
    assert browser.post("/account/organisation", form).status_code == 404


def test_an_invitation_that_was_revoked_ran_out_or_never_was_is_none(office: Office) -> None:
    link, browser = invite(office, "late@example.org"), office.browser("owner")
    rows = browser.get("/api/v1/invitations").get_json()["rows"]
    assert browser.client.delete(
        f"/api/v1/invitations/{rows[0]['id']}", base_url=SHARED.public_url,
        headers={"X-CSRF-Token": browser.csrf()},
    ).status_code == 204  # fmt: skip

    for each in (link, "/join/i_guess", "/join/" + "x" * 3000):
        assert office.service.browser().get(each).status_code == 404
        answer = office.service.browser().post(each, {"name": "X", "password": PASSWORD})
        assert answer.status_code == 404


def test_without_https_the_cookies_say_so_and_still_work(service: Service, office: Office) -> None:
    plain = Service(service.database, Config(mode="shared", public_url="http://intranet.test"))
    client = plain.app.test_client()
    answer = client.post(
        "/sign-in", base_url="http://intranet.test",
        data={"email": office.emails["reader"], "password": PASSWORD},
    )  # fmt: skip

    assert answer.status_code == 303
    assert "Secure" not in answer.headers["Set-Cookie"]
    assert client.get("/api/v1/me", base_url="http://intranet.test").status_code == 200


def test_passwords_cost_what_the_standard_says_and_are_told_apart() -> None:
    # OWASP's Password Storage Cheat Sheet asks of Argon2id for at least 19 MiB at 2 passes or
    # equal; RFC 9106, section 4, second recommended option: 64 MiB, 3 passes, 4 lanes.
    hasher = PasswordHasher()
    assert (hasher.type, hasher.time_cost, hasher.memory_cost) == (Type.ID, 3, 64 * 1024)
    assert hasher.parallelism == 4

    kept = password_hash("e\u0301 sixteen letters")
    assert password_fits(kept, "\u00e9 sixteen letters")  # the same letter, written otherwise
    assert not password_fits(kept, "e sixteen letters")
    assert not password_fits(None, "the password of nobody at all")
    with pytest.raises(InputRefused, match="password"):
        password_hash("x" * 14)
