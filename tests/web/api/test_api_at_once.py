"""Many requests at the same moment, on SQLite and on PostgreSQL."""

from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from web.api.furnished import JOB, NORTH
from web.people.shared_service import Office, Service

from estimator.store.database import Database

V1 = "/api/v1"
THREADS = 4


@pytest.fixture(scope="module")
def service(database: Database) -> Service:
    return Service(database)


@pytest.fixture
def busy(service: Service) -> Office:
    return service.office()


def ask(office: Office, method: str, path: str, **how: Any) -> Any:
    """A request of a client of its own, as of a process of its own."""
    return office.program("estimator")(method, V1 + path, **how)


def make(office: Office, path: str, document: Any) -> str:
    answer = ask(office, "POST", path, json=document)
    assert answer.status_code == 201, answer.text
    return str(answer.get_json()["id"])


def at_once(count: int, send: Any) -> list[Any]:
    with ThreadPoolExecutor(THREADS) as pool:
        return list(pool.map(send, range(count)))


def test_numbers_of_quotes_have_no_holes_and_none_twice(busy: Office) -> None:
    job = make(busy, "/jobs", {"name": "House", "description": JOB})

    def send(at: int) -> Any:
        # Every third one is refused after its transaction began.
        facts = {"no_such_fact": "1"} if at % 3 == 2 else {}
        return ask(busy, "POST", "/quotes", json={"job_id": job, "programme_facts": facts})

    answers = at_once(12, send)

    statuses = [answer.status_code for answer in answers]
    assert sorted(statuses) == [201] * 8 + [422] * 4
    numbers = sorted(each.get_json()["number"] for each in answers if each.status_code == 201)
    assert [number[5:] for number in numbers] == [f"{at:04}" for at in range(1, 9)]


def test_a_request_that_is_sent_many_times_at_once_is_done_once(busy: Office) -> None:
    def send(_: int) -> Any:
        key = {"Idempotency-Key": "at-once"}
        return ask(busy, "POST", "/customers", json={"name": "A"}, headers=key)

    answers = at_once(8, send)

    assert {answer.status_code for answer in answers} == {201}
    assert len({answer.get_json()["id"] for answer in answers}) == 1
    assert ask(busy, "GET", "/customers").get_json()["total"] == 1


def test_of_many_writers_with_the_same_version_one_wins(busy: Office) -> None:
    job = make(busy, "/jobs", {"name": "House", "description": JOB})

    def send(at: int) -> Any:
        body = {"description": {**JOB, "run_length_ft": 20 + at}}
        path = f"/jobs/{job}/description"
        return ask(busy, "PUT", path, json=body, headers={"If-Match": '"1"'})

    answers = at_once(8, send)

    assert sorted(answer.status_code for answer in answers) == [200] + [412] * 7
    won = next(at for at, answer in enumerate(answers) if answer.status_code == 200)
    kept = ask(busy, "GET", f"/jobs/{job}/versions/2").get_json()
    assert kept["description"]["run_length_ft"] == 20 + won
    assert ask(busy, "GET", f"/jobs/{job}/versions").get_json()["total"] == 2


def test_the_same_list_sent_many_times_at_once_is_one_version(busy: Office) -> None:
    catalogue = make(busy, "/catalogues", {"name": "Counter"})
    path = f"/catalogues/{catalogue}/versions?file_name=north.csv"

    answers = at_once(4, lambda _: ask(busy, "POST", path, data=NORTH, content_type="text/csv"))

    assert sorted(answer.status_code for answer in answers) == [200, 200, 200, 201]
    assert ask(busy, "GET", f"/catalogues/{catalogue}/versions").get_json()["total"] == 1


def test_a_quote_is_answered_once(busy: Office, service: Service) -> None:
    job = make(busy, "/jobs", {"name": "House", "description": JOB})
    quote = make(busy, "/quotes", {"job_id": job, "stated": ["unpriced_part"]})
    sent = ask(busy, "POST", f"/quotes/{quote}/send", json={}, headers={"If-Match": "*"})
    assert sent.status_code == 200, sent.text
    link = ask(busy, "POST", f"/quotes/{quote}/links", json={}).get_json()["secret"]

    def send(at: int) -> Any:
        step = "accept" if at % 2 else "decline"
        path = f"{V1}/links/{link}/{step}"
        return service.app.test_client().post(path, json={"revision": 1})

    answers = at_once(6, send)

    statuses = sorted(answer.status_code for answer in answers)
    assert statuses[0] == 200
    assert set(statuses[1:]) <= {409, 412}
    events = ask(busy, "GET", f"/quotes/{quote}/events").get_json()["rows"]
    assert [each["after"] for each in events[:2]] == ["draft", "sent"]
    assert len(events) == 3
