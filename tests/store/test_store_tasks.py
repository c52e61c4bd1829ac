"""Tasks: asked for with their cause, done by one worker, tried again, cancelled, done once."""

import threading
from dataclasses import replace
from datetime import timedelta

import pytest
from quotes.quote_snapshots import JOB

from estimator.quotes.states import NotAllowed
from estimator.store import jobs, tasks
from estimator.store.database import Database
from estimator.store.errors import NotFound
from estimator.store.listing import Page, list_rows
from estimator.store.scope import Scope
from estimator.store.tables.jobs import JobRow
from estimator.store.tables.work import TaskRow

DEAD = tasks.DEAD_AFTER + timedelta(seconds=1)


def ask(database: Database, scope: Scope, **other: object) -> TaskRow:
    with database.writing() as session:
        return tasks.add_task(session, scope, "import", {"list": 1}, **other)


def claim(database: Database, scope: Scope, task: TaskRow, after: timedelta = timedelta()):
    with database.writing() as session:
        return tasks.claim_task(session, scope.at + after, task.id)


def state(database: Database, scope: Scope, task: TaskRow) -> TaskRow:
    with database.reading() as session:
        return tasks.find_task(session, scope, task.id)


def test_a_task_is_asked_for_with_what_caused_it_or_not_at_all(
    database: Database, scope: Scope
) -> None:
    with pytest.raises(ZeroDivisionError), database.writing() as session:
        jobs.add_job(session, scope, "House", JOB)
        tasks.add_task(session, scope, "import", {})
        raise ZeroDivisionError

    with database.reading() as session:
        assert list_rows(session, scope, TaskRow, Page()).total == 0
        assert list_rows(session, scope, JobRow, Page()).total == 0


def test_the_same_cause_asks_for_one_task(database: Database, scope: Scope, other: Scope) -> None:
    first, again = ask(database, scope, once="list 1"), ask(database, scope, once="list 1")
    elsewhere = ask(database, other, once="list 1")

    assert first.id == again.id != elsewhere.id


def test_a_task_is_claimed_worked_on_and_done(database: Database, scope: Scope) -> None:
    task = ask(database, scope)
    claimed = claim(database, scope, task)
    assert claimed.scope.organisation_id == scope.organisation_id
    with database.writing() as session:
        assert tasks.beat(session, replace(scope, at=scope.at), task.id, 3, 10)
    assert (state(database, scope, task).done, state(database, scope, task).total) == (3, 10)

    with database.writing() as session:
        tasks.finish_task(session, scope, task.id, {"items": 10})

    found = state(database, scope, task)
    assert (found.state, found.result, found.done) == ("done", {"items": 10}, 10)
    assert (found.attempts, found.finished_at, found.fault) == (1, scope.at, None)
    assert claim(database, scope, task, DEAD) is None


def test_the_oldest_task_of_any_organisation_comes_first(
    database: Database, scope: Scope, other: Scope
) -> None:
    early = replace(other, at=other.at - timedelta(days=300))
    late = ask(database, replace(scope, at=scope.at - timedelta(days=299)))
    first = ask(database, early)

    with database.writing() as session:
        claimed = [tasks.claim_task(session, scope.at - timedelta(days=200)) for _ in range(2)]

    assert [each and each.task.id for each in claimed] == [first.id, late.id]
    assert claimed[0].scope.organisation_id == other.organisation_id


def test_no_two_workers_get_the_same_task(database: Database, scope: Scope) -> None:
    early = replace(scope, at=scope.at - timedelta(days=900))
    asked = {ask(database, early).id for _ in range(20)}
    ready, got = threading.Barrier(4), []

    def work() -> None:
        ready.wait()
        while True:
            with database.writing() as session:
                claimed = tasks.claim_task(session, early.at)
            if claimed is None:
                return
            got.append(claimed.task.id)

    workers = [threading.Thread(target=work) for _ in range(4)]
    for each in workers:
        each.start()
    for each in workers:
        each.join()

    # Those of the module's other tests may be among them.
    assert len(got) == len(set(got))
    assert asked <= set(got)


def test_the_task_of_a_dead_worker_is_done_by_another(database: Database, scope: Scope) -> None:
    task = ask(database, scope)
    claim(database, scope, task)

    assert claim(database, scope, task, tasks.DEAD_AFTER) is None
    again = claim(database, scope, task, DEAD)

    assert again.task.attempts == 2
    with database.writing() as session:
        late = replace(scope, at=scope.at + DEAD)
        # The first one was not dead but slow: it is told to stop, and cannot fail the second.
        assert not tasks.beat(session, late, task.id, 1, 2, attempt=1)
        assert tasks.beat(session, late, task.id, 1, 2, attempt=2)
        with pytest.raises(NotAllowed, match="this one is over"):
            tasks.fail_task(session, late, task.id, "slow", again=True, attempt=1)


def test_work_that_two_workers_do_is_kept_once(database: Database, scope: Scope) -> None:
    """The second one's transaction is undone, with whatever it did."""
    task = ask(database, scope)
    claim(database, scope, task)
    claim(database, scope, task, DEAD)
    ready, outcomes = threading.Barrier(2), []

    def work(number: int) -> None:
        try:
            ready.wait()
            with database.writing() as session:
                jobs.add_job(session, scope, f"by worker {number}", JOB)
                tasks.finish_task(session, scope, task.id, {"worker": number})
            outcomes.append(number)
        except NotAllowed:
            pass

    workers = [threading.Thread(target=work, args=(number,)) for number in range(2)]
    for each in workers:
        each.start()
    for each in workers:
        each.join()

    with database.reading() as session:
        rows = list_rows(session, scope, JobRow, Page()).rows
    assert [row.name for row in rows] == [f"by worker {outcomes[0]}"]
    assert state(database, scope, task).result == {"worker": outcomes[0]}


def test_a_failed_attempt_waits_longer_each_time_until_there_are_too_many(
    database: Database, scope: Scope
) -> None:
    task = ask(database, scope)
    waits, at = [], scope.at
    while True:
        claimed = claim(database, scope, task, at - scope.at)
        now = replace(scope, at=at)
        with database.writing() as session:
            row = tasks.fail_task(session, now, task.id, "no room", again=True,
                                  attempt=claimed.task.attempts)  # fmt: skip
        if row.state != "waiting":
            break
        waits.append(row.start_after - at)
        assert claim(database, scope, task, at - scope.at) is None
        at = row.start_after

    assert waits == [timedelta(seconds=30), timedelta(seconds=60)]
    assert (row.state, row.fault, row.attempts) == ("failed", "no room", 3)


def test_a_fault_that_stays_is_not_tried_again(database: Database, scope: Scope) -> None:
    task = ask(database, scope)
    claim(database, scope, task)
    with database.writing() as session:
        row = tasks.fail_task(session, scope, task.id, "row 3 has no price", again=False)

    assert (row.state, row.attempts) == ("failed", 1)


def test_a_task_that_kills_its_worker_is_given_up(database: Database, scope: Scope) -> None:
    task = ask(database, scope, most_attempts=2)
    assert claim(database, scope, task) is not None
    assert claim(database, scope, task, DEAD) is not None

    assert claim(database, scope, task, 2 * DEAD) is None
    found = state(database, scope, task)
    assert (found.state, found.attempts) == ("failed", 2)
    assert "stopped while it ran" in (found.fault or "")


def test_a_waiting_task_is_cancelled_at_once(database: Database, scope: Scope) -> None:
    task = ask(database, scope)
    with database.writing() as session:
        assert tasks.cancel_task(session, scope, task.id).state == "cancelled"

    assert claim(database, scope, task) is None
    with pytest.raises(NotAllowed, match="is cancelled already"), database.writing() as session:
        tasks.cancel_task(session, scope, task.id)


def test_a_running_task_is_asked_to_stop(database: Database, scope: Scope) -> None:
    task = ask(database, scope)
    claim(database, scope, task)
    with database.writing() as session:
        assert tasks.cancel_task(session, scope, task.id).state == "running"

    with database.writing() as session:
        assert not tasks.beat(session, scope, task.id, 5, None)
        assert tasks.task_stopped(session, scope, task.id).state == "cancelled"


def test_a_task_whose_worker_died_after_it_was_cancelled_is_not_begun_again(
    database: Database, scope: Scope
) -> None:
    task = ask(database, scope)
    claim(database, scope, task)
    with database.writing() as session:
        tasks.cancel_task(session, scope, task.id)

    assert claim(database, scope, task, DEAD) is None
    assert state(database, scope, task).state == "cancelled"


def test_tasks_of_others_are_not_there(database: Database, scope: Scope, other: Scope) -> None:
    task = ask(database, scope)
    calls = [
        lambda session: tasks.beat(session, other, task.id, 1, 1),
        lambda session: tasks.finish_task(session, other, task.id, {}),
        lambda session: tasks.fail_task(session, other, task.id, "", again=True),
        lambda session: tasks.task_stopped(session, other, task.id),
    ]
    for call in calls:
        with pytest.raises(NotFound), database.writing() as session:
            call(session)
