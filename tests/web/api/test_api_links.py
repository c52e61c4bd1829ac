"""Customers' links: unguessable, expiring, revocable, for one quote only."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from web.api.furnished import furnish
from web.api.office import Office

LINKS = "/api/v1/links"


@pytest.fixture
def now(office: Office) -> Office:
    """The office at the true time, by which links are judged."""
    return office.at(datetime.now(UTC))


@pytest.fixture
def ids(now: Office) -> dict[str, str]:
    return furnish(now)


def by_link(office: Office, method: str, secret: str, rest: str = "", **more: Any) -> Any:
    """A request of whoever holds a link: nobody else's caller is set."""
    return office.client.open(f"{LINKS}/{secret}{rest}", method=method, **more)


def test_a_link_shows_its_quote_and_no_costs_of_the_office(
    now: Office, ids: dict[str, str]
) -> None:
    answer = by_link(now, "GET", ids["secret"])

    quote = now.shown(f"/quotes/{ids['quote_id']}")
    assert answer.status_code == 200
    shown = answer.json
    assert (shown["number"], shown["total"]) == (quote["number"], quote["total"])
    assert (shown["state"], shown["may_answer"]) == ("sent", True)
    net = sum(float(group["amount"]) for group in shown["groups"])
    assert round(net + float(shown["sales_tax"]), 2) == float(shown["total"])
    assert not {"overhead", "profit", "lines", "cost"} & set(answer.text.split('"'))
    assert now.shown(f"/quotes/{ids['quote_id']}/links")["rows"][0]["seen_at"] is not None


def test_the_paper_behind_a_link_is_the_one_that_was_sent(now: Office, ids: dict[str, str]) -> None:
    paper = by_link(now, "GET", ids["secret"], "/quote.pdf")

    path = f"/quotes/{ids['quote_id']}/revisions/1/documents/quote.pdf"
    assert paper.status_code == 200
    assert paper.data == now.get(path).data


@pytest.mark.parametrize(("step", "end"), [("accept", "accepted"), ("decline", "declined")])
def test_a_customer_answers_by_link(now: Office, ids: dict[str, str], step: str, end: str) -> None:
    answer = by_link(
        now, "POST", ids["secret"], f"/{step}", json={"revision": 1, "note": "In May."}
    )

    assert answer.status_code == 200
    assert (answer.json["state"], answer.json["may_answer"]) == (end, False)
    last = now.shown(f"/quotes/{ids['quote_id']}/events")["rows"][-1]
    assert (last["after"], last["note"], last["link_id"]) == (end, "In May.", ids["link_id"])
    assert last["by_name"] == "customer, by link"
    again = by_link(now, "POST", ids["secret"], "/accept", json={"revision": 1})
    assert again.status_code == 409


def test_a_customer_cannot_accept_what_they_have_not_seen(now: Office, ids: dict[str, str]) -> None:
    any_version = {"If-Match": "*"}
    quote = f"/quotes/{ids['quote_id']}"
    now.post(f"{quote}/revisions", {}, headers=any_version)
    assert by_link(now, "GET", ids["secret"]).json["revision"] == 1
    now.post(f"{quote}/send", {}, headers=any_version)

    stale = by_link(now, "POST", ids["secret"], "/accept", json={"revision": 1})

    assert stale.status_code == 409
    assert by_link(now, "GET", ids["secret"]).json["revision"] == 2
    seen = by_link(now, "POST", ids["secret"], "/accept", json={"revision": 2})
    assert seen.status_code == 200


def test_whatever_is_wrong_with_a_link_the_answer_is_the_same(
    now: Office, ids: dict[str, str]
) -> None:
    links = f"/quotes/{ids['quote_id']}/links"
    revoked = now.made(links, {})
    assert now.delete(f"{links}/{revoked['id']}").status_code == 204
    past = now.at(now.scope.at - timedelta(days=3)).made(links, {"days": 1})
    secrets = [revoked["secret"], past["secret"], "q_" + "A" * 43, ids["secret"][:-1], "x"]

    answers = [by_link(now, "GET", each) for each in secrets]
    answers += [by_link(now, "POST", each, "/accept", json={"revision": 1}) for each in secrets]
    answers += [by_link(now, "GET", each, "/quote.pdf") for each in secrets]

    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.json["detail"] for answer in answers}) == 1
    assert now.shown(f"/quotes/{ids['quote_id']}")["state"] == "sent"


def test_a_draft_is_not_shown(now: Office, ids: dict[str, str]) -> None:
    draft = now.made("/quotes", {"job_id": ids["job_id"]})["id"]
    secret = now.made(f"/quotes/{draft}/links", {})["secret"]

    assert by_link(now, "GET", secret).status_code == 404


def test_a_secret_is_told_once_and_never_kept(now: Office, ids: dict[str, str]) -> None:
    links = f"/quotes/{ids['quote_id']}/links"
    key = {"Idempotency-Key": "link-1"}

    first = now.made(links, {}, headers=key)
    again = now.made(links, {}, headers=key)

    assert len(first["secret"]) >= 43
    assert again == {**first, "secret": None}
    assert "secret" not in now.shown(links)["rows"][0]
    assert now.shown(links)["total"] == 2
    again_at = now.post(links, {}, headers=key).headers["Location"].removeprefix("/api/v1")
    assert now.shown(again_at)["id"] == first["id"]


@pytest.mark.parametrize("days", [0, 367, -1, "x"])
def test_a_link_expires_within_a_year(now: Office, ids: dict[str, str], days: object) -> None:
    assert now.post(f"/quotes/{ids['quote_id']}/links", {"days": days}).status_code == 422
