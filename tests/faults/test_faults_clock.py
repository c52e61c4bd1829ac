"""The clock of the machine jumps by a day, forward or back, while the service runs."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from faults.counted import ROUNDS, told
from faults.moved_clock import Clock, moved_clock
from load.checks import holes
from web.api.furnished import DEARER
from web.api.test_api_day import ANY, Desk, morning, work_off
from web.people.shared_service import Office, Service

from estimator.store import tasks
from estimator.store.database import Database
from estimator.store.rate_counters import count, find_counter
from estimator.store.scope import Scope

DAY = timedelta(days=1)
jumps = pytest.mark.parametrize("jump", [DAY, -DAY], ids=["forward", "back"])


@pytest.fixture(scope="module")
def service(database: Database) -> Service:
    return Service(database)


@pytest.fixture
def clock(service: Service) -> Iterator[Clock]:
    """Moved only after everything has been loaded, so that every module reads it."""
    with moved_clock() as clock:
        yield clock


@pytest.fixture
def office(service: Service, clock: Clock) -> Office:
    return service.office()


@jumps
def test_quotes_and_tasks_go_on(
    service: Service, office: Office, clock: Clock, jump: timedelta
) -> None:
    desk = Desk(office.program("estimator"))
    made = morning(desk)
    quote = f"/quotes/{made['quotes'][0]['id']}"
    _import(desk, made, DEARER.replace(b"0.45", b"0.46"))

    for number in range(ROUNDS):
        clock.ahead = jump if number % 2 == 0 else timedelta()
        desk.make(f"{quote}/revisions", {"reason": "a day apart"}, headers=ANY)
        _import(desk, made, DEARER.replace(b"0.45", f"0.{50 + number}".encode()))
        work_off(service)
    desk.make("/quotes", {"job_id": made["quotes"][1]["job_id"]})
    _sell(service, desk, quote)
    clock.ahead = timedelta()

    rows = desk.see("/quotes?sort=number&limit=200")["rows"]
    assert holes(rows) == [] and len(rows) == 4
    numbers = [row["number"] for row in desk.see(f"{quote}/revisions?sort=number")["rows"]]
    assert numbers == list(range(1, len(numbers) + 1)) and len(numbers) >= ROUNDS + 1
    _check_story(desk.see(f"{quote}/events")["rows"])
    assert desk.see(quote)["state"] == "accepted"
    done = desk.see("/tasks?kind=import")["rows"]
    assert [each["state"] for each in done] == ["done"] * (ROUNDS + 1)
    assert all(each["started_at"] <= each["finished_at"] for each in done)
    database = service.database.engine.dialect.name
    told(f"clock jump of {jump.days:+} day", database, ROUNDS, len(rows) + len(done), 0)


def _import(desk: Desk, made: dict[str, Any], data: bytes) -> None:
    path = f"/tasks/import/{made['catalogues'][0]}?file_name=newer.csv"
    desk.ask("POST", path, 202, data=data, content_type="text/csv")


def _sell(service: Service, desk: Desk, quote: str) -> None:
    short = desk.see(f"{quote}/revisions/{desk.see(quote)['newest']}")["shortcomings"]
    kinds = sorted({each["kind"] for each in short})
    desk.make(f"{quote}/revisions", {"reason": "stated", "stated": kinds}, headers=ANY)
    desk.make(f"{quote}/send", {}, 200, headers=ANY)
    link = desk.make(f"{quote}/links", {"days": 14})
    customer = service.app.test_client()
    address = f"/api/v1/links/{link['secret']}"
    shown = customer.get(address)
    assert shown.status_code == 200, shown.text
    answer = customer.post(f"{address}/accept", json={"revision": shown.get_json()["revision"]})
    assert answer.status_code == 200, answer.text


def _check_story(events: list[dict[str, Any]]) -> None:
    """Each revision's events follow each other, and times go one way."""
    states: dict[int, str | None] = {}
    for each in events:
        assert states.get(each["revision"]) == each["before"], json.dumps(events, indent=1)
        states[each["revision"]] = each["after"]
    times = [each["at"] for each in events]
    assert times == sorted(times)


@jumps
def test_a_request_sent_again_is_done_once(office: Office, clock: Clock, jump: timedelta) -> None:
    program = office.program("estimator")
    key = {"Idempotency-Key": "once"}

    def send() -> Any:
        return program("POST", "/api/v1/customers", json={"name": "A. Homeowner"}, headers=key)

    first = send()
    # Keys are kept for 24 hours, so a little less.
    clock.ahead = jump - timedelta(minutes=5) if jump > timedelta() else jump
    again = send()

    assert (first.status_code, again.status_code) == (201, 201)
    assert again.data == first.data and again.headers["Idempotency-Replayed"] == "true"
    seen = program("GET", "/api/v1/customers").get_json()
    assert seen["total"] == 1


@jumps
def test_who_is_signed_in_and_tokens(office: Office, clock: Clock, jump: timedelta) -> None:
    browser, program = office.browser("estimator"), office.program("estimator")

    clock.ahead = jump
    # A sign-in lasts 12 hours by the clock; a token is good for 30 days.
    page = browser.get("/account").status_code
    assert program("GET", "/api/v1/quotes").status_code == 200
    if jump < timedelta():
        assert page == 200
        return
    assert page == 303
    browser.sign_in(office.emails["estimator"])
    clock.ahead = timedelta()
    assert browser.get("/account").status_code == 200


def test_who_was_shut_out_by_a_wrong_clock_is_let_in_by_the_right_one(
    office: Office, clock: Clock
) -> None:
    browser, email = office.service.browser(), office.emails["owner"]
    clock.ahead = DAY
    tries = [browser.sign_in(email, "a wrong one").status_code for _ in range(7)]
    assert tries[-1] == 429

    clock.ahead = timedelta()
    assert browser.sign_in(email).status_code == 303


def test_a_counter_of_a_clock_that_was_put_back_begins_anew(database: Database) -> None:
    now = datetime.now(UTC)
    with database.writing() as session:
        assert [count(session, "k", 1, 900, now + DAY) for _ in range(3)] == [1, 2, 3]
        assert find_counter(session, "k", now + DAY) is not None
        assert find_counter(session, "k", now) is None
        assert count(session, "k", 1, 900, now) == 1
        assert count(session, "k", 1, 900, now - timedelta(seconds=0)) == 2


@jumps
@pytest.mark.parametrize("state", ["waiting", "waiting again", "running"])
def test_a_task_does_not_wait_for_a_day(
    database: Database, scope: Scope, jump: timedelta, state: str
) -> None:
    with database.writing() as session:
        task = tasks.add_task(session, scope, "import", {})
    if state != "waiting":
        with database.writing() as session:
            assert tasks.claim_task(session, scope.at, task.id)
    if state == "waiting again":
        with database.writing() as session:
            tasks.fail_task(session, scope, task.id, "away", again=True)

    with database.writing() as session:
        claimed = tasks.claim_task(session, scope.at + jump, task.id)
        assert claimed is not None
        later = Scope(scope.organisation_id, scope.at + jump, None, "Test")
        done = tasks.finish_task(session, later, task.id, {})
        assert done.started_at is not None and done.started_at <= done.finished_at


def test_a_task_ends_no_earlier_than_it_began(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        task = tasks.add_task(session, scope, "import", {})
    with database.writing() as session:
        tasks.claim_task(session, scope.at, task.id)
    back = Scope(scope.organisation_id, scope.at - DAY, None, "Test")
    with database.writing() as session:
        done = tasks.finish_task(session, back, task.id, {})
        assert done.finished_at == done.started_at
