"""The page for tokens of programs in shared mode."""

from datetime import UTC, datetime, timedelta

import pytest
from lxml import html
from web.people.shared_service import Browser, Office, Program
from web.people.test_people_pages import beside, database, followed, send

from estimator.store.tables.organisations import AccessTokenRow

__all__ = ["database"]


def shown_secret(text: str) -> str:
    return str(html.fromstring(text).xpath("//*[@class='link']//input/@value")[0])


def names(browser: Browser) -> list[str]:
    """Of the tokens that still let a program in."""
    page = html.fromstring(browser.get("/tokens").text)
    return [each.text_content() for each in page.xpath("//section[@id='valid']//h3")]


def revoke_addresses(browser: Browser) -> list[str]:
    page = html.fromstring(browser.get("/tokens").text)
    return [str(each) for each in page.xpath("//form[contains(@action, '/revoke')]/@action")]


@pytest.mark.parametrize("role", ["owner", "reader"])
def test_a_token_is_made_shown_once_used_and_revoked(office: Office, role: str) -> None:
    browser = office.browser(role)  # type: ignore[arg-type]
    assert 'href="/tokens"' in browser.get("/account").text

    made = followed(browser, "/tokens", name="a spreadsheet", role="reader", days="30")
    secret = shown_secret(made.text)
    assert made.status_code == 200 and secret.startswith("t_")
    assert made.headers["Cache-Control"] == "no-store"
    assert secret not in browser.get("/tokens").text
    assert names(browser)[0] == "a spreadsheet"
    program = Program(office.service.app.test_client(), secret)
    assert program("GET", "/api/v1/me").get_json()["role"] == "reader"
    until = (datetime.now(UTC) + timedelta(days=30)).date()
    assert f"good until {until}" in browser.get("/tokens").text

    done = send(browser, revoke_addresses(browser)[0])

    assert done.status_code == 303
    assert "a spreadsheet" not in names(browser)
    assert "revoked" in browser.get("/tokens").text
    assert program("GET", "/api/v1/me").status_code == 401


def test_an_owner_sees_everybodys_and_others_their_own(office: Office) -> None:
    owner, reader = office.browser("owner"), office.browser("reader")

    everybodys, own = revoke_addresses(owner), revoke_addresses(reader)

    assert (len(everybodys), len(own)) == (3, 1)
    page = owner.get("/tokens").text
    assert all(email in page for email in office.emails.values())
    assert office.emails["owner"] not in reader.get("/tokens").text
    for address in set(everybodys) - set(own):
        refused = send(reader, address)
        assert refused.status_code == 404
        assert "There is no token" in refused.text
    assert send(office.service.office().browser("owner"), own[0]).status_code == 404
    assert len(revoke_addresses(owner)) == 3
    assert send(owner, own[0]).status_code == 303
    assert office.program("reader")("GET", "/api/v1/me").status_code == 401


def test_each_fault_stands_beside_its_field_and_nothing_is_lost(office: Office) -> None:
    browser = office.browser("reader")

    answer = send(browser, "/tokens", name=" ", role="owner", days="12 <days>")
    wrong = send(browser, "/tokens", name="bell \x07", role="boss", days="0")

    assert (answer.status_code, wrong.status_code) == (422, 422)
    assert "missing" in beside(answer, "name")[0]
    assert "more than you may" in beside(answer, "role")[0]
    assert "whole number" in beside(answer, "days")[0]
    assert html.fromstring(answer.text).xpath("//input[@name='days']/@value") == ["12 <days>"]
    assert "control character" in beside(wrong, "name")[0]
    assert "must be one of" in beside(wrong, "role")[0]
    assert "366" in beside(wrong, "days")[0]
    assert len(revoke_addresses(browser)) == 1


def test_a_token_that_ran_out_is_told_to_have(office: Office) -> None:
    with office.service.database.writing() as session:
        for row in session.scalars(office.scope.rows(AccessTokenRow)):
            row.expires_at = datetime.now(UTC) - timedelta(days=2)

    browser = office.browser("owner")

    assert names(browser) == []
    assert "No longer valid: 3" in browser.get("/tokens").text
    assert browser.get("/tokens").text.count("expired ") == 3


def test_a_form_without_the_secret_makes_no_token(office: Office) -> None:
    browser = office.browser("owner")

    assert browser.post("/tokens", {"name": "x", "role": "owner", "days": "9"}).status_code == 403
    assert browser.post(revoke_addresses(browser)[0], {}).status_code == 403
    assert len(names(browser)) == 3
