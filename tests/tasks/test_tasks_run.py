"""What becomes of a task: done, failed, tried again, cancelled, given back, taken over."""

import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
from tasks.office import Office

from estimator.finding import Fault, InputRefused
from estimator.store.customers import add_customer
from estimator.store.database import Database
from estimator.store.errors import DatabaseUnavailable, NotFound
from estimator.store.listing import Page, list_rows
from estimator.store.tables.jobs import CustomerRow
from estimator.store.tables.work import TaskRow
from estimator.store.tasks import DEAD_AFTER, add_task, cancel_task, claim_task
from estimator.tasks import do, run
from estimator.tasks.queue import hand_over
from estimator.tasks.run import run_next, run_task
from estimator.tasks.work import Interrupted, Stopped, Superseded, Work

KIND = "test"
Body = Callable[[Work], None]
Doing = Callable[[Body], None]


@pytest.fixture
def doing(monkeypatch: pytest.MonkeyPatch) -> Iterator[Doing]:
    """Let tasks of the test's own kind do something."""

    def set_body(body: Body) -> None:
        monkeypatch.setattr(run, "DO", {**do.DO, KIND: body})

    return set_body


def ask(office: Office, **more: object) -> UUID:
    with office.database.writing() as session:
        task = add_task(session, office.now(), KIND, {"n": 1}, **more)  # type: ignore[arg-type]
        hand_over(session, task)
        return task.id


def make_ready(office: Office, task_id: UUID, **changes: object) -> None:
    with office.database.writing() as session:
        row = session.get_one(
            TaskRow, (office.scope.organisation_id, task_id),
            execution_options=office.scope.options,
        )  # fmt: skip
        for name, value in changes.items():
            setattr(row, name, value)


def customers(office: Office) -> int:
    with office.database.reading() as session:
        return list_rows(session, office.scope, CustomerRow, Page()).total


def add_one(work: Work) -> None:
    with work.database.writing() as session:
        add_customer(session, work.now(), {"name": "A. Homeowner"})
        work.finish(session, {"added": 1})


def test_the_result_is_kept_with_the_work_itself(office: Office, doing: Doing) -> None:
    doing(add_one)
    task_id = ask(office)

    assert run_task(office.database, task_id)

    task = office.task(task_id)
    assert (task.state, task.result, task.attempts) == ("done", {"added": 1}, 1)
    assert task.finished_at is not None
    assert customers(office) == 1


def test_a_task_is_done_once_however_often_it_is_run(office: Office, doing: Doing) -> None:
    doing(add_one)
    task_id = ask(office)

    assert [run_task(office.database, task_id) for _ in range(3)] == [True, False, False]
    assert customers(office) == 1


def test_work_that_breaks_off_leaves_nothing_and_is_tried_again_later(
    office: Office, doing: Doing
) -> None:
    def break_off(work: Work) -> None:
        with work.database.writing() as session:
            add_customer(session, work.now(), {"name": "A. Homeowner"})
            session.flush()
            raise ZeroDivisionError("secret detail")

    doing(break_off)
    task_id = ask(office)
    run_task(office.database, task_id)

    first = office.task(task_id)
    assert (first.state, first.attempts, customers(office)) == ("waiting", 1, 0)
    assert first.start_after > datetime.now(UTC) + timedelta(seconds=20)
    assert "secret detail" not in (first.fault or "")
    assert not run_task(office.database, task_id)  # not before its time

    for _ in range(2):
        make_ready(office, task_id, start_after=datetime.now(UTC) - timedelta(seconds=1))
        assert run_task(office.database, task_id)
    last = office.task(task_id)
    assert (last.state, last.attempts) == ("failed", 3)


def test_waiting_gets_longer_with_each_attempt(office: Office, doing: Doing) -> None:
    def away(work: Work) -> None:
        raise DatabaseUnavailable("The database is away.")

    doing(away)
    task_id = ask(office, most_attempts=4)
    waits = []
    for _ in range(3):
        run_task(office.database, task_id)
        waits.append((office.task(task_id).start_after - datetime.now(UTC)).total_seconds())
        make_ready(office, task_id, start_after=datetime.now(UTC) - timedelta(seconds=1))

    assert [round(wait / 30) for wait in waits] == [1, 2, 4]
    assert office.task(task_id).fault == "The database is away."


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (InputRefused("list", (Fault("row 3", "is blank"), Fault("", "is odd"))),
         "row 3: is blank\n/: is odd"),
        (NotFound("job", 7), "There is no job 7."),
    ],
)  # fmt: skip
def test_what_can_never_succeed_is_not_tried_again(
    office: Office, doing: Doing, error: Exception, told: str
) -> None:
    def refuse(work: Work) -> None:
        raise error

    doing(refuse)
    task_id = ask(office)
    run_task(office.database, task_id)

    task = office.task(task_id)
    assert (task.state, task.fault, task.attempts) == ("failed", told, 1)


def test_a_task_that_waits_is_cancelled_at_once(office: Office, doing: Doing) -> None:
    doing(add_one)
    task_id = ask(office)
    with office.database.writing() as session:
        cancel_task(session, office.now(), task_id)

    assert not run_task(office.database, task_id)
    assert office.task(task_id).state == "cancelled"


def test_a_task_that_runs_stops_at_its_next_sign_of_life(office: Office, doing: Doing) -> None:
    reached = []

    def long(work: Work) -> None:
        work.progress(1, 10)
        with office.database.writing() as session:
            cancel_task(session, office.now(), work.task_id)
        work._told_at = 0.0
        reached.append(work.task_id)
        work.progress(2, 10)
        reached.append("too far")

    doing(long)
    task_id = ask(office)
    run_task(office.database, task_id)

    task = office.task(task_id)
    assert (task.state, task.done, task.total, reached) == ("cancelled", 2, 10, [task_id])


def test_a_stop_of_the_program_gives_the_task_back_without_an_attempt(
    office: Office, doing: Doing
) -> None:
    ending = threading.Event()

    def long(work: Work) -> None:
        ending.set()
        work.progress(1, 10)

    doing(long)
    task_id = ask(office)
    run_task(office.database, task_id, ending)

    task = office.task(task_id)
    assert (task.state, task.attempts) == ("waiting", 0)
    doing(add_one)
    assert run_task(office.database, task_id)
    assert office.task(task_id).state == "done"


def test_the_task_of_a_dead_worker_is_taken_over_and_the_dead_one_keeps_nothing(
    office: Office, doing: Doing
) -> None:
    doing(add_one)
    task_id = ask(office)
    with office.database.writing() as session:
        claimed = claim_task(session, datetime.now(UTC), task_id)
    assert claimed is not None
    dead = Work(office.database, claimed.scope, task_id, claimed.task.attempts, {}, None)
    assert not run_task(office.database, task_id)  # it may still be alive

    make_ready(office, task_id, beat_at=datetime.now(UTC) - DEAD_AFTER * 2)
    assert run_task(office.database, task_id)
    assert (office.task(task_id).state, office.task(task_id).attempts) == ("done", 2)

    # The one that was taken for dead comes back: nothing of it counts.
    with pytest.raises(Superseded):
        add_one(dead)
    with pytest.raises(Superseded):
        dead.progress(5)
    assert customers(office) == 1


def test_two_workers_at_once_do_it_once(office: Office, doing: Doing) -> None:
    doing(add_one)
    task_id = ask(office)
    started: list[bool] = []

    def worker() -> None:
        started.append(run_task(office.database, task_id))

    threads = [threading.Thread(target=worker) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(started) == [False, False, False, True]
    assert customers(office) == 1


def test_a_task_is_asked_for_if_and_only_if_its_cause_is_kept(office: Office) -> None:
    with pytest.raises(ZeroDivisionError), office.database.writing() as session:
        add_customer(session, office.now(), {"name": "A. Homeowner"})
        hand_over(session, add_task(session, office.now(), KIND, {}))
        raise ZeroDivisionError

    assert customers(office) == 0
    with office.database.reading() as session:
        assert list_rows(session, office.scope, TaskRow, Page()).total == 0


def test_the_next_one_is_the_oldest_of_whatever_organisation(
    office: Office, database: Database, doing: Doing
) -> None:
    while run_next(database):
        pass
    seen: list[tuple[int, object]] = []

    def look(work: Work) -> None:
        seen.append((work.scope.organisation_id, work.asked["n"]))
        with work.database.writing() as session:
            work.finish(session, {})

    doing(look)
    first = ask(office)
    second = ask(replace(office, scope=office.scope))
    assert first != second

    assert [run_next(database) for _ in range(3)] == [True, True, False]
    assert seen == [(office.scope.organisation_id, 1)] * 2


@pytest.mark.parametrize("error", [Stopped, Interrupted])
def test_stopping_is_no_fault(office: Office, doing: Doing, error: type[Exception]) -> None:
    def stop(work: Work) -> None:
        raise error

    doing(stop)
    task_id = ask(office)
    run_task(office.database, task_id)

    assert office.task(task_id).fault is None
