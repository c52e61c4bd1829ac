"""Quotes: made, revised, compared, sent, answered, copied; nothing of them ever changes."""

import hashlib
import json
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from web.api.furnished import DEARER, JOB, NORTH, RATES, furnish, send_list
from web.api.office import Office

from estimator.stored import estimate as stored_estimate
from estimator.stored import means

ANY = {"If-Match": "*"}


@pytest.fixture
def ids(office: Office) -> dict[str, str]:
    """An office that has one of everything and prices."""
    supplier = office.made("/suppliers", {"name": "North Counter (invented)"})["id"]
    catalogue = office.made("/catalogues", {"name": "Counter", "supplier_id": supplier})["id"]
    send_list(office, catalogue, NORTH)
    customer = office.made("/customers", {"name": "A. Homeowner", "address": "12 Example Road"})
    job = office.made("/jobs", {"name": "House", "customer_id": customer["id"], "description": JOB})
    return {"catalogue": catalogue, "customer": customer["id"], "job": job["id"]}


def quote(office: Office, ids: dict[str, str], **fields: Any) -> str:
    """The address of a new quote."""
    return f"/quotes/{office.made('/quotes', {'job_id': ids['job'], **fields})['id']}"


def step(office: Office, address: str, name: str, **body: Any) -> Any:
    return office.post(f"{address}/{name}", body, headers=ANY)


def revise(office: Office, address: str, **body: Any) -> Any:
    answer = office.post(f"{address}/revisions", body, headers=ANY)
    assert answer.status_code == 201, answer.text
    return answer.json


def state(office: Office, address: str) -> str:
    return str(office.shown(address)["state"])


def test_a_quote_is_made_of_job_customer_and_prices(office: Office, ids: dict[str, str]) -> None:
    made = office.made("/quotes", {"job_id": ids["job"]})

    estimated = office.post(f"/jobs/{ids['job']}/versions/1/estimate", {}).json
    assert made["number"] == "2026-0001"
    assert made["customer_id"] == ids["customer"]
    assert made["total"] == estimated["price"]["totals"]["total"]
    assert (made["state"], made["complete"], made["valid_until"]) == ("draft", True, "2026-04-01")
    basis = office.shown(f"/quotes/{made['id']}/revisions/1")["basis"]
    assert basis["job"]["version"] == 1
    assert [each["version"] for each in basis["catalogues"]] == [1]
    assert len(basis["tables"]) == 7


def test_numbers_have_no_holes(office: Office, ids: dict[str, str]) -> None:
    quote(office, ids)
    assert office.post("/quotes", {"job_id": ids["job"], "on": "2026-99-01"}).status_code == 422
    wrong = {"job_id": ids["job"], "programme_facts": {"no_such_fact": "1"}}
    assert office.post("/quotes", wrong).status_code == 422
    quote(office, ids)

    rows = office.shown("/quotes?sort=number")["rows"]
    assert [row["number"] for row in rows] == ["2026-0001", "2026-0002"]


def test_a_newer_list_changes_no_quote_but_a_revision_shows_what_it_does(
    office: Office, ids: dict[str, str]
) -> None:
    address = quote(office, ids)
    before = office.get(f"{address}/revisions/1/snapshot").data
    send_list(office, ids["catalogue"], DEARER)
    assert office.get(f"{address}/revisions/1/snapshot").data == before

    revision = revise(office, address, reason="new list")

    assert revision["number"] == 2
    found = office.shown(f"{address}/revisions/2/difference")
    assert {line["subject"] for line in found["lines"]} == {"part"}
    for line in found["lines"]:
        prices = {each["name"]: each for each in line["fields"]}["unit_price"]
        assert (prices["before"], prices["after"]) == ("0.4100", "0.4500")
    old, new = (office.shown(f"{address}/revisions/{each}")["total"] for each in (1, 2))
    total = {each["name"]: each for each in found["money"]}["total"]
    assert (total["before"], total["after"]) == (old, new)
    assert [each["cause"] for each in found["reasons"]] == ["catalogue"]
    assert office.get(f"{address}/revisions/1/snapshot").data == before
    assert [row["state"] for row in office.shown(f"{address}/revisions")["rows"]] == [
        "draft",
        "superseded",
    ]


def test_a_snapshot_is_kept_to_the_byte(office: Office, ids: dict[str, str]) -> None:
    address = quote(office, ids)

    answer = office.get(f"{address}/revisions/1/snapshot")

    digest = hashlib.sha256(answer.data).hexdigest()
    assert answer.headers["ETag"] == f'"{digest}"'
    assert office.shown(f"{address}/revisions/1")["snapshot_digest"] == digest
    content = json.loads(answer.data)
    assert content["job"] == {"name": "House", **JOB}
    total = content["result"]["price"]["totals"]["total"]
    assert total == office.shown(address)["total"]


def test_new_tables_leave_what_was_kept_and_are_told_in_the_next_revision(
    office: Office, ids: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    address = quote(office, ids)
    kept = office.get(f"{address}/revisions/1/snapshot")
    renewed = tuple((room, digest[::-1]) for room, digest in means.table_versions())
    monkeypatch.setattr(means, "table_versions", lambda: renewed)

    revise(office, address)

    again = office.get(f"{address}/revisions/1/snapshot")
    assert (again.data, again.headers["ETag"]) == (kept.data, kept.headers["ETag"])
    found = office.shown(f"{address}/revisions/2/difference")
    assert [each["cause"] for each in found["reasons"]] == ["tables"]


def test_a_revision_takes_the_job_as_it_is_now(office: Office, ids: dict[str, str]) -> None:
    address = quote(office, ids)
    office.put(f"/jobs/{ids['job']}/description", {"description": {**JOB, "run_length_ft": 60}})

    revise(office, address, reason="measured again")

    found = office.shown(f"{address}/revisions/2/difference")
    told = "the length from inlet to transfer equipment along the raceway is 60, before 18."
    assert found["reasons"][0]["text"] == told
    back = revise(office, address, job_version=1)
    assert back["total"] == office.shown(f"{address}/revisions/1")["total"]


def test_a_revision_keeps_the_means_of_the_one_before(office: Office, ids: dict[str, str]) -> None:
    rates = office.made("/own-documents/rate-sheets", {"name": "Ours", "content": RATES})["id"]
    address = quote(office, ids, rate_sheet=rates)
    content = '{"terms": {"markup_percent": 50}}'
    office.put(f"/own-documents/rate-sheets/{rates}/content", {"content": content})

    again = revise(office, address)
    without = revise(office, address, means={})

    assert again["basis"]["rate_sheet"]["version"] == 2
    assert without["basis"]["rate_sheet"] is None
    assert float(again["total"]) != float(without["total"])


@pytest.mark.parametrize(
    ("steps", "end"),
    [
        (["send"], "sent"),
        (["send", "accept"], "accepted"),
        (["send", "decline"], "declined"),
    ],
)
def test_a_quote_takes_its_steps(
    office: Office, ids: dict[str, str], steps: list[str], end: str
) -> None:
    address = quote(office, ids)

    for name in steps:
        assert step(office, address, name, note="by telephone").status_code == 200

    assert state(office, address) == end
    events = office.shown(f"{address}/events")["rows"]
    assert [event["after"] for event in events][-1] == end
    assert (events[-1]["by_name"], events[-1]["note"]) == ("Test", "by telephone")
    assert office.shown(f"/quotes?state={end}")["total"] == 1


@pytest.mark.parametrize(
    ("before", "name"),
    [
        ([], "accept"),
        ([], "decline"),
        (["send"], "send"),
        (["send", "accept"], "send"),
        (["send", "accept"], "decline"),
        (["send", "decline"], "accept"),
        (["send", "decline"], "send"),
    ],
)
def test_a_step_out_of_turn_is_refused(
    office: Office, ids: dict[str, str], before: list[str], name: str
) -> None:
    address = quote(office, ids)
    for each in before:
        step(office, address, each)
    kept = office.shown(address)

    assert step(office, address, name).status_code == 409
    assert office.shown(address) == kept


def test_a_step_needs_the_version_that_was_read(office: Office, ids: dict[str, str]) -> None:
    address = quote(office, ids)

    assert office.post(f"{address}/send", {}).status_code == 428
    stale = office.post(f"{address}/send", {}, headers={"If-Match": '"99"'})
    assert stale.status_code == 412
    assert state(office, address) == "draft"


def test_an_accepted_quote_stays_and_is_copied_for_a_change(
    office: Office, ids: dict[str, str]
) -> None:
    address = quote(office, ids)
    step(office, address, "send")
    step(office, address, "accept")

    assert office.post(f"{address}/revisions", {}, headers=ANY).status_code == 409
    send_list(office, ids["catalogue"], DEARER)
    copy = office.made(f"{address}/copies", {"title": "Again"})
    assert (copy["number"], copy["state"]) == ("2026-0002", "draft")
    assert copy["copied_from"] == office.shown(address)["id"]
    assert copy["total"] != office.shown(address)["total"]


def test_without_prices_a_quote_is_sent_only_where_the_document_says_so(office: Office) -> None:
    job = office.made("/jobs", {"name": "House", "description": JOB})["id"]
    address = quote(office, {"job": job})
    short = office.shown(f"{address}/revisions/1")["shortcomings"]
    assert {each["kind"] for each in short} == {"unpriced_part"}

    refused = step(office, address, "send")

    assert refused.status_code == 409
    assert short[0]["message"] in refused.json["detail"]
    assert state(office, address) == "draft"
    revise(office, address, stated=["unpriced_part"])
    assert step(office, address, "send").status_code == 200


def test_with_an_error_a_quote_is_sent_only_where_the_document_says_so(
    office: Office, ids: dict[str, str]
) -> None:
    # A two-pole load on a supply of 120 V alone.
    bad = {
        **JOB,
        "circuits": [{"name": "Pump", "breaker_a": 20, "poles": 2, "running_w": 1000}],
        "supply": {"system": "120"},
    }
    office.put(f"/jobs/{ids['job']}/description", {"description": bad})
    address = quote(office, ids, stated=["unpriced_part", "proposed_match"])

    refused = step(office, address, "send")

    kinds = {each["kind"] for each in office.shown(f"{address}/revisions/1")["shortcomings"]}
    assert "error_finding" in kinds
    assert refused.status_code == 409
    revise(office, address, stated=["error_finding", "unpriced_part", "proposed_match"])
    assert step(office, address, "send").status_code == 200


def test_after_its_last_day_a_quote_is_expired(office: Office, ids: dict[str, str]) -> None:
    address = quote(office, ids)
    step(office, address, "send")
    last = office.at(office.scope.at + timedelta(days=30))
    after = office.at(office.scope.at + timedelta(days=31))

    assert state(last, address) == "sent"
    assert state(after, address) == "expired"
    assert after.shown("/quotes?state=expired")["total"] == 1
    assert after.shown("/quotes?state=sent")["total"] == 0
    assert step(after, address, "accept").status_code == 409
    assert step(last, address, "accept").status_code == 200


def test_a_draft_whose_last_day_is_gone_by_is_not_sent(office: Office, ids: dict[str, str]) -> None:
    address = quote(office, ids)
    late = office.at(office.scope.at + timedelta(days=31))

    refused = step(late, address, "send")

    assert refused.status_code == 409
    assert "2026-04-01" in refused.json["detail"]


@pytest.mark.parametrize(
    ("name", "begins"),
    [
        ("quote.pdf", b"%PDF"),
        ("buying_list.pdf", b"%PDF"),
        ("estimate.xlsx", b"PK"),
        ("one_line.svg", b"<svg"),
        ("parts.csv", b""),
    ],
)
def test_documents_of_a_revision(
    office: Office, ids: dict[str, str], name: str, begins: bytes
) -> None:
    address = quote(office, ids)

    answer = office.get(f"{address}/revisions/1/documents/{name}")

    assert answer.status_code == 200
    assert answer.data.startswith(begins)
    assert f'filename="2026-0001-1-{name}"' in answer.headers["Content-Disposition"]
    assert office.get(f"{address}/revisions/1/documents/nothing.pdf").status_code == 404


def test_the_quote_that_was_sent_stays_as_it_was_sent(
    office: Office, ids: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    address = quote(office, ids)
    step(office, address, "send")
    path = f"{address}/revisions/1/documents"
    sent = office.get(f"{path}/quote.pdf").data
    office.put(f"/customers/{ids['customer']}", {"name": "Somebody else"})
    monkeypatch.setattr(stored_estimate, "index_items", _dearer(stored_estimate.index_items))

    assert office.get(f"{path}/quote.pdf").data == sent
    # Another paper would show other prices than those that were kept.
    assert office.get(f"{path}/estimate.pdf").status_code == 409


def _dearer(index_items: Any) -> Any:
    """The program as a later version might compute."""

    def index(lists: Any, currency: str) -> Any:
        changed = tuple(
            replace(each, items=tuple(replace(i, unit_price=i.unit_price + 1) for i in each.items))
            for each in lists
        )
        return index_items(changed, currency)

    return index


def test_quotes_are_found(office: Office, ids: dict[str, str]) -> None:
    quote(office, ids, title="Backup of the mill")
    other = office.made("/jobs", {"name": "Barn", "description": JOB})["id"]
    quote(office, {"job": other})

    assert office.shown("/quotes?search=mill")["rows"][0]["number"] == "2026-0001"
    assert office.shown("/quotes?search=2026-0002")["rows"][0]["title"] == "Barn"
    assert office.shown(f"/quotes?job_id={other}")["total"] == 1
    assert office.shown(f"/quotes?customer_id={ids['customer']}")["total"] == 1
    assert office.shown("/quotes?state=draft")["total"] == 2


def test_the_trail_tells_what_was_done(office: Office) -> None:
    ids = furnish(office)

    rows = office.shown(f"/audit?subject=quote&subject_id={ids['quote_id']}")["rows"]

    assert {row["action"] for row in rows} == {"link made", "sent", "added"}
    assert {row["by_name"] for row in rows} == {"Test"}
    assert ids["secret"] not in json.dumps(rows)
