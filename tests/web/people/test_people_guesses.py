"""Guesses at addresses that hold a secret, and requests of one token at several processes."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from limits import RateLimitItemPerMinute
from limits.storage import MemoryStorage
from web.people.shared_service import SHARED, Office, Service

from estimator.store.invitations import invite
from estimator.web import rate_limits

FORGED = "q_" + "x" * 43
GUESSES = (
    ("GET", f"/offer/{FORGED}"),
    ("POST", f"/offer/{FORGED}"),
    ("GET", f"/offer/{FORGED}/quote.pdf"),
    ("GET", f"/api/v1/links/{FORGED}"),
    ("GET", f"/api/v1/links/{FORGED}/quote.pdf"),
    ("POST", f"/api/v1/links/{FORGED}/accept"),
    ("POST", f"/api/v1/links/{FORGED}/decline"),
    ("GET", "/join/i_" + "x" * 43),
    ("POST", "/join/i_" + "x" * 43),
)


@pytest.fixture
def three(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Three guesses instead of a hundred."""
    monkeypatch.setattr(rate_limits.Tries, "_limit", lambda _: RateLimitItemPerMinute(3, 15))
    return


def asked(service: Service, method: str, path: str, place: str) -> Any:
    how: dict[str, Any] = {"json": {"revision": 1}} if "/api/" in path else {"data": {}}
    return service.app.test_client().open(
        path, method=method, base_url=SHARED.public_url,
        environ_base={"REMOTE_ADDR": place}, **(how if method == "POST" else {}),
    )  # fmt: skip


def somewhere() -> str:
    return f"2001:db8::{uuid4().hex[:4]}:{uuid4().hex[:4]}"


@pytest.mark.usefixtures("three")
@pytest.mark.parametrize(("method", "path"), GUESSES)
def test_many_guesses_from_one_address_have_to_wait(
    service: Service, method: str, path: str
) -> None:
    place = somewhere()

    answers = [asked(service, method, path, place) for _ in range(5)]

    assert [answer.status_code for answer in answers] == [404, 404, 404, 429, 429]
    assert 0 < int(answers[-1].headers["Retry-After"]) <= 15 * 60 + 1
    assert asked(service, method, path, somewhere()).status_code == 404


@pytest.mark.usefixtures("three")
def test_all_processes_and_all_kinds_of_such_addresses_count_together(service: Service) -> None:
    place, second = somewhere(), Service(service.database)

    found = [
        asked(each, "GET", path, place).status_code
        for each, path in (
            (service, f"/offer/{FORGED}"), (second, f"/api/v1/links/{FORGED}"),
            (service, "/join/i_y"), (second, f"/offer/{FORGED}"),
        )
    ]  # fmt: skip

    assert found == [404, 404, 404, 429]


@pytest.mark.usefixtures("three")
def test_who_guessed_too_often_waits_with_a_right_one_too_and_nobody_else(office: Office) -> None:
    with office.service.database.writing() as session:
        until = datetime.now(UTC) + timedelta(days=1)
        _, secret = invite(session, office.scope, "new@example.org", "reader", until)
    place, right = somewhere(), f"/join/{secret.text}"
    good = [asked(office.service, "GET", right, place).status_code for _ in range(5)]
    for _ in range(3):
        asked(office.service, "GET", "/join/i_y", place)

    assert good == [200] * 5  # what is right is never counted
    assert asked(office.service, "GET", right, place).status_code == 429
    assert asked(office.service, "GET", right, somewhere()).status_code == 200
    assert asked(office.service, "GET", "/sign-in", place).status_code == 200


def test_a_hundred_guesses_are_let_through(service: Service) -> None:
    """Ten times the tries to sign in, which are five here."""
    place = somewhere()

    found = [asked(service, "GET", "/join/i_y", place).status_code for _ in range(52)]

    assert found == [404] * 50 + [429] * 2


def test_the_requests_of_one_token_count_at_all_processes_together(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each process has counters of its own and tells the shared one in lumps."""
    settings = replace(SHARED, requests_per_minute=200)
    processes = [(Service(office.service.database, settings), MemoryStorage()) for _ in range(3)]
    token = {"Authorization": f"Bearer {office.tokens['reader']}"}
    found = []
    for number in range(270):
        service, counters = processes[number % 3]
        monkeypatch.setattr(rate_limits, "_of_process", counters)
        found.append(service.app.test_client().get("/api/v1/me", headers=token).status_code)

    let_in = found.count(200)
    assert found[:200] == [200] * 200
    # Each process learns of the others with its next lump, of 4 requests.
    assert found[-50:] == [429] * 50
    assert 200 <= let_in <= 200 + 3 * 4


def test_nothing_is_kept_of_who_guessed(office: Office) -> None:
    """Addresses are digests in the counters, and gone when their time is up."""
    from sqlalchemy import select

    from estimator.store.rate_counters import forget_old_counters
    from estimator.store.tables.rates import RateCounterRow

    place = somewhere()
    asked(office.service, "GET", f"/offer/{FORGED}", place)
    with office.service.database.writing() as session:
        rows = session.scalars(select(RateCounterRow)).all()
        assert rows and all(len(row.key) == 64 and place not in row.key for row in rows)
        forget_old_counters(session, datetime.now(UTC) + timedelta(hours=1))
        assert session.scalars(select(RateCounterRow)).all() == []
