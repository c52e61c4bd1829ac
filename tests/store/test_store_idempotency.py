"""A request that is sent twice is done once, and answered the same both times."""

import threading
from dataclasses import replace
from datetime import timedelta

import pytest
from quotes.quote_snapshots import JOB

from estimator.store import idempotency, jobs
from estimator.store.database import Database
from estimator.store.errors import Conflict
from estimator.store.idempotency import KeptAnswer
from estimator.store.listing import Page, list_rows
from estimator.store.scope import Scope
from estimator.store.tables.jobs import JobRow
from estimator.store.tables.work import IdempotencyKeyRow

DAY = timedelta(days=1)
ANSWER = KeptAnswer(201, {"Location": "/jobs/1", "ETag": '"1"'}, b'{"name":"\xc3\xa9"}\x00')


def post(
    database: Database, scope: Scope, key: str = "k", request: str = "POST /jobs", body: str = "a"
) -> tuple[KeptAnswer, bool]:
    """The answer, and whether something was done for it."""
    with database.writing() as session:
        kept = idempotency.begin_once(session, scope, key, request, body, scope.at + DAY)
        if kept is not None:
            return kept, False
        jobs.add_job(session, scope, "House", JOB)
        idempotency.keep_answer(session, scope, key, ANSWER)
        return ANSWER, True


def made(database: Database, scope: Scope) -> int:
    with database.reading() as session:
        return list_rows(session, scope, JobRow, Page()).total


def test_the_second_request_gets_the_first_answer(database: Database, scope: Scope) -> None:
    answers = [post(database, scope) for _ in range(3)]

    assert answers == [(ANSWER, True), (ANSWER, False), (ANSWER, False)]
    assert made(database, scope) == 1


@pytest.mark.parametrize("other", [{"body": "b"}, {"request": "POST /quotes"}])
def test_a_key_is_for_one_request(database: Database, scope: Scope, other: dict) -> None:
    post(database, scope)

    with pytest.raises(Conflict, match="for another request"):
        post(database, scope, **other)
    assert made(database, scope) == 1


def test_keys_of_two_organisations_are_two_keys(
    database: Database, scope: Scope, other: Scope
) -> None:
    assert post(database, scope)[1]
    assert post(database, other, body="b")[1]


def test_a_request_that_failed_can_be_sent_again(database: Database, scope: Scope) -> None:
    with pytest.raises(ZeroDivisionError), database.writing() as session:
        idempotency.begin_once(session, scope, "k", "POST /jobs", "a", scope.at + DAY)
        raise ZeroDivisionError

    assert post(database, scope)[1]


def test_a_key_can_be_used_anew_after_it_expired(database: Database, scope: Scope) -> None:
    post(database, scope)
    later = replace(scope, at=scope.at + DAY)

    assert post(database, replace(scope, at=later.at - timedelta(seconds=1)))[1] is False
    assert post(database, later, body="b")[1] is True
    assert post(database, later, body="b")[1] is False


def test_expired_keys_are_forgotten(database: Database, scope: Scope) -> None:
    post(database, scope, "old")
    post(database, replace(scope, at=scope.at + DAY), "new")
    with database.writing() as session:
        idempotency.forget_expired(session, scope.at + DAY)

    with database.reading() as session:
        (left,) = list_rows(session, scope, IdempotencyKeyRow, Page()).rows
        assert left.key == "new"


def test_of_many_at_the_same_moment_one_is_done(database: Database, scope: Scope) -> None:
    ready, answers = threading.Barrier(6), []

    def send() -> None:
        ready.wait()
        answers.append(post(database, scope))

    senders = [threading.Thread(target=send) for _ in range(6)]
    for each in senders:
        each.start()
    for each in senders:
        each.join()

    assert [answer for answer, _ in answers] == [ANSWER] * 6
    assert sum(done for _, done in answers) == 1
    assert made(database, scope) == 1
