"""A scripted day of two offices, everything over HTTP, on SQLite and on PostgreSQL.

Two price lists come in, three jobs are quoted; a newer list moves one quote, the customer
accepts by link, the accountant reads with a reader's token, the owner takes everything out.
"""

import io
import json
import zipfile
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import pytest
import yaml
from web.api.furnished import DEARER, NORTH, PROGRAMME, RATES, SAMPLES
from web.people.shared_service import Office, Program, Service

from estimator.store.database import Database
from estimator.tasks.run import run_next

WHOLESALE = (SAMPLES / "price_lists" / "wholesale_c_and_m.csv").read_bytes()
JOBS = ("four_facts.json", "six_circuit_block.yaml", "interlock_30a.yaml")
ANY = {"If-Match": "*"}


@dataclass
class Desk:
    """Somebody at work with a token."""

    program: Program

    def ask(self, method: str, path: str, wanted: int, **how: Any) -> Any:
        answer = self.program(method, f"/api/v1{path}", **how)
        assert answer.status_code == wanted, f"{method} {path}: {answer.text}"
        return answer

    def see(self, path: str) -> Any:
        return self.ask("GET", path, 200).get_json()

    def make(self, path: str, document: Any, wanted: int = 201, **how: Any) -> Any:
        return self.ask("POST", path, wanted, json=document, **how).get_json()

    def send_list(self, catalogue: str, data: bytes, name: str) -> Any:
        path = f"/catalogues/{catalogue}/versions?file_name={name}"
        return self.ask("POST", path, 201, data=data, content_type="text/csv").get_json()


def description(name: str) -> Any:
    """A sample job, quoted today rather than on the day it was written."""
    document = yaml.safe_load((SAMPLES / "jobs" / name).read_text())
    document.get("terms", {}).pop("quoted_on", None)
    return json.loads(json.dumps(document, default=str))


def morning(desk: Desk) -> dict[str, Any]:
    """Two lists, a customer, three jobs with a quote each."""
    told: dict[str, Any] = {"catalogues": [], "quotes": []}
    for name, data in (("North Counter", NORTH), ("Wholesale", WHOLESALE)):
        supplier = desk.make("/suppliers", {"name": f"{name} (invented)"})["id"]
        catalogue = desk.make("/catalogues", {"name": name, "supplier_id": supplier})["id"]
        desk.send_list(catalogue, data, f"{name}.csv")
        told["catalogues"].append(catalogue)
    told["customer"] = desk.make("/customers", {"name": "A. Homeowner"})["id"]
    rates = desk.make("/own-documents/rate-sheets", {"name": "Ours", "content": RATES})["id"]
    programme = desk.make("/own-documents/programmes", {"name": "One", "content": PROGRAMME})["id"]
    for name in JOBS:
        job = desk.make(
            "/jobs",
            {"name": name, "customer_id": told["customer"], "description": description(name)},
        )["id"]
        asked = {"job_id": job, "rate_sheet": rates, "programmes": [programme]}
        told["quotes"].append(
            desk.make("/quotes", asked, headers={"Idempotency-Key": f"quote-{name}"})
        )
    return told


@pytest.fixture(scope="module")
def service(database: Database) -> Service:
    return Service(database)


def work_off(service: Service) -> None:
    """What workers do beside the requests."""
    while run_next(service.database):
        pass


def test_a_day_of_two_offices(service: Service) -> None:
    offices: list[Office] = [service.office(), service.office()]
    days = [_day(service, each) for each in offices]

    for mine, (desk, told) in zip(offices, days, strict=True):
        seen = desk.see("/quotes")
        assert seen["total"] == len(JOBS)
        assert {row["id"] for row in seen["rows"]} == {each["id"] for each in told["quotes"]}
        other = days[1 - offices.index(mine)][1]
        for quote in other["quotes"]:
            desk.ask("GET", f"/quotes/{quote['id']}", 404)


def _day(service: Service, office: Office) -> tuple[Desk, dict[str, Any]]:
    desk = Desk(office.program("estimator"))
    told = morning(desk)
    year = datetime.now(UTC).astimezone().year
    assert [quote["number"] for quote in told["quotes"]] == [
        f"{year}-{number:04}" for number in (1, 2, 3)
    ]
    _noon(service, desk, told)
    _afternoon(service, desk, told)
    _evening(service, office, told)
    return desk, told


def _noon(service: Service, desk: Desk, told: dict[str, Any]) -> None:
    """The first quote is sent; then a newer list comes, and open quotes get its prices."""
    first = f"/quotes/{told['quotes'][0]['id']}"
    kept = desk.ask("GET", f"{first}/revisions/1/snapshot", 200).data
    _send(desk, first)
    version = desk.send_list(told["catalogues"][0], DEARER, "newer.csv")
    desk.make("/tasks/reprice", {"catalogue_version_id": version["id"]}, 202)
    work_off(service)

    newest = desk.see(first)["newest"]
    assert newest == 2
    changed = desk.see(f"{first}/revisions/2/difference")
    assert "catalogue" in {each["cause"] for each in changed["reasons"]}
    assert changed["lines"] and changed["money"]
    assert desk.ask("GET", f"{first}/revisions/1/snapshot", 200).data == kept
    # What the customer has in hand stands until the new one is sent.
    states = [row["state"] for row in desk.see(f"{first}/revisions")["rows"]]
    assert states == ["draft", "sent"]
    _send(desk, first)


def _send(desk: Desk, quote: str) -> None:
    short = desk.see(f"{quote}/revisions/{desk.see(quote)['newest']}")["shortcomings"]
    if short:
        desk.ask("POST", f"{quote}/send", 409, json={}, headers=ANY)
        kinds = sorted({each["kind"] for each in short})
        desk.make(f"{quote}/revisions", {"reason": "stated", "stated": kinds}, headers=ANY)
    desk.make(f"{quote}/send", {"note": "by mail"}, 200, headers=ANY)


def _afternoon(service: Service, desk: Desk, told: dict[str, Any]) -> None:
    """The customer looks and accepts; another declines."""
    first, second = (f"/quotes/{quote['id']}" for quote in told["quotes"][:2])
    link = desk.make(f"{first}/links", {"days": 14})
    customer = service.app.test_client()
    address = f"/api/v1/links/{link['secret']}"
    shown = customer.get(address)
    assert shown.status_code == 200, shown.text
    assert customer.get(f"{address}/quote.pdf").data.startswith(b"%PDF")
    answer = customer.post(f"{address}/accept", json={"revision": shown.get_json()["revision"]})
    assert answer.status_code == 200, answer.text
    accepted = desk.see(first)
    assert (accepted["state"], accepted["total"]) == ("accepted", shown.get_json()["total"])
    _send(desk, second)
    desk.make(f"{second}/decline", {"note": "too dear"}, 200, headers=ANY)


def _evening(service: Service, office: Office, told: dict[str, Any]) -> None:
    """The accountant reads and may not write; the owner takes everything out."""
    accountant = Desk(office.program("reader"))
    assert accountant.see("/quotes?state=accepted")["total"] == 1
    number = accountant.see(f"/quotes/{told['quotes'][0]['id']}")["newest"]
    path = f"/quotes/{told['quotes'][0]['id']}/revisions/{number}/documents/credit_memo.pdf"
    assert accountant.ask("GET", path, 200).data.startswith(b"%PDF")
    accountant.ask("POST", "/customers", 403, json={"name": "B"})
    job = told["quotes"][0]["job_id"]
    accountant.make(f"/jobs/{job}/versions/1/estimate", {}, 200)

    owner = Desk(office.program("owner"))
    task = owner.ask("POST", "/organisation/export", 202).headers["Location"]
    work_off(service)
    archive = owner.ask("GET", f"{task.removeprefix('/api/v1')}/file", 200).data
    with zipfile.ZipFile(io.BytesIO(archive)) as opened:
        rows = [json.loads(line) for line in opened.read("quotes.jsonl").splitlines()]
    assert {row["number"] for row in rows} == {quote["number"] for quote in told["quotes"]}
