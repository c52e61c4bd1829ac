"""What takes tasks up: the queue on PostgreSQL, a thread of the service on SQLite."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import pytest
from sqlalchemy import text
from tasks.office import LIST, Office, dearer
from web.browser import free_port

from estimator.config import Config
from estimator.store.catalogue_lookup import whole_list
from estimator.store.catalogues import versions_in_force
from estimator.store.database import Database, open_database
from estimator.store.rate_counters import count, find_counter
from estimator.store.tables.work import TaskRow
from estimator.store.tasks import DEAD_AFTER, add_task
from estimator.stored.price_lists import SentList
from estimator.tasks import run
from estimator.tasks.do import DO
from estimator.tasks.housekeeping import TASKS_KEPT, keep_house
from estimator.tasks.import_price_list import ask_import
from estimator.tasks.queue import RUN_TASK, hand_over
from estimator.tasks.run import run_next
from estimator.tasks.runner import Runner
from estimator.tasks.work import Work
from estimator.tasks.worker import Worker

# The queue is PostgreSQL's; with SQLite there is the thread instead.
on_postgresql = pytest.mark.parametrize("database", ["postgresql"], indirect=True)
on_sqlite = pytest.mark.parametrize("database", ["sqlite"], indirect=True)


def url_of(database: Database) -> str:
    return database.engine.url.set(
        drivername=database.engine.dialect.name
    ).render_as_string(hide_password=False)  # fmt: skip


def ask(office: Office, data: bytes = b"") -> UUID:
    with office.database.writing() as session:
        sent = SentList("counter.csv", data or dearer(LIST))
        return ask_import(
            session, office.now(), office.catalogue_id, sent, "text/csv", reprice=False
        ).id


def wait_for(condition: Callable[[], bool], seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.05)


@pytest.fixture
def queued(office: Office) -> Iterator[Office]:
    """An office on PostgreSQL, whose queue is empty."""
    with office.database.writing() as session:
        session.execute(text("DELETE FROM procrastinate_jobs"))
    yield office


def numbers(office: Office) -> list[str]:
    with office.database.reading() as session:
        found = session.execute(
            text("SELECT args->>'task_id' FROM procrastinate_jobs WHERE task_name = :name"),
            {"name": RUN_TASK},
        )
        return [each for (each,) in found]


@on_postgresql
def test_a_number_is_queued_if_and_only_if_the_task_is_kept(queued: Office) -> None:
    kept = ask(queued)
    with pytest.raises(ZeroDivisionError), queued.database.writing() as session:
        hand_over(session, add_task(session, queued.now(), "import", {}))
        raise ZeroDivisionError

    assert numbers(queued) == [str(kept)]


@on_postgresql
def test_a_worker_does_what_is_queued_and_leaves_no_numbers(queued: Office) -> None:
    asked = [ask(queued), ask(queued, dearer(LIST, "1.2"))]
    config = Config(mode="shared", database_url=url_of(queued.database))
    worker = Worker(config)
    worker.run(wait=False, signals=False)
    worker.close()

    assert [queued.task(each).state for each in asked] == ["done", "done"]
    assert numbers(queued) == []


@on_postgresql
def test_a_task_whose_number_was_lost_is_done_all_the_same(queued: Office) -> None:
    task_id = ask(queued)
    with queued.database.writing() as session:
        session.execute(text("DELETE FROM procrastinate_jobs"))
    config = Config(mode="shared", database_url=url_of(queued.database))
    worker = Worker(config)

    worker._sweep(0)
    worker.close()

    assert queued.task(task_id).state == "done"


def begin_worker(office: Office) -> subprocess.Popen[bytes]:
    own = {"ESTIMATOR_MODE": "shared", "ESTIMATOR_DATABASE_URL": url_of(office.database)}
    return subprocess.Popen(
        [sys.executable, "-m", "estimator", "work"],
        env={**os.environ, **own}, stderr=subprocess.PIPE,
    )  # fmt: skip


def make_dead(office: Office, task_id: UUID) -> None:
    """Let the worker's last sign of life be long ago."""
    with office.database.writing() as session:
        row = session.get_one(
            TaskRow, (office.scope.organisation_id, task_id),
            execution_options=office.scope.options,
        )  # fmt: skip
        row.beat_at = datetime.now(UTC) - DEAD_AFTER * 2


def in_force(office: Office) -> int:
    """The number of the version in force, of which all items are there."""
    with office.database.reading() as session:
        version = versions_in_force(session, office.scope)[0]
        assert len(whole_list(session, office.scope, version.id).items) == version.items
        return version.number


def many_rows(copies: int) -> bytes:
    head, *rows = LIST.decode().splitlines()
    told = [
        row.replace("NC-", f"N{copy}-", 1) for copy in range(copies) for row in rows
    ]  # fmt: skip
    return "\n".join([head, *told]).encode()


@on_postgresql
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_a_worker_that_is_killed_or_stopped_leaves_all_or_nothing_and_another_goes_on(
    queued: Office, how: signal.Signals
) -> None:
    data = many_rows(60)
    task_id = ask(queued, data)
    worker = begin_worker(queued)
    wait_for(lambda: queued.task(task_id).state == "running")
    worker.send_signal(how)
    worker.communicate(timeout=60)

    left = queued.task(task_id)
    if how == signal.SIGTERM:
        assert worker.returncode == 0
        assert (left.state, left.attempts) in (("waiting", 0), ("done", 1))
    else:
        assert left.state in ("running", "done")
        make_dead(queued, task_id)
    config = Config(mode="shared", database_url=url_of(queued.database))
    other = Worker(config)
    other._sweep(0)
    other.close()

    task = queued.task(task_id)
    assert task.state == "done", task.fault
    assert task.result is not None
    assert task.result["items"] == len(data.splitlines()) - 1


@pytest.fixture
def sqlite_office(office: Office) -> Office:
    return office


@on_sqlite
@pytest.mark.parametrize("delay_s", [0.0, 0.4])
def test_a_service_that_is_killed_in_a_task_leaves_all_or_nothing_and_the_next_goes_on(
    sqlite_office: Office, delay_s: float
) -> None:
    office, data = sqlite_office, many_rows(60)
    task_id = ask(office, data)
    own = {
        "ESTIMATOR_DATABASE_URL": url_of(office.database),
        "ESTIMATOR_PORT": str(free_port()),
        "ESTIMATOR_WORKERS": "1",
    }
    service = subprocess.Popen(
        [sys.executable, "-m", "estimator", "serve"],
        env={**os.environ, **own}, start_new_session=True,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    wait_for(lambda: office.task(task_id).state != "waiting")
    time.sleep(delay_s)
    os.killpg(service.pid, signal.SIGKILL)
    service.wait()

    left = office.task(task_id)
    assert left.state in ("running", "done")
    assert (in_force(office) == 2) == (left.state == "done")
    make_dead(office, task_id)
    while run_next(office.database):
        pass

    task = office.task(task_id)
    assert task.state == "done", task.fault
    assert (task.result or {})["items"] == len(data.splitlines()) - 1
    assert in_force(office) == 2


@on_sqlite
def test_a_thread_of_the_service_is_woken_by_a_task_and_does_it(sqlite_office: Office) -> None:
    runner = Runner(sqlite_office.database, look_every_s=600)
    runner.start()
    try:
        time.sleep(0.2)
        task_id = ask(sqlite_office)
        wait_for(lambda: sqlite_office.task(task_id).state == "done")
    finally:
        runner.end(10)
    assert not runner._thread.is_alive()


@on_sqlite
def test_a_thread_that_is_ended_gives_its_task_back(
    sqlite_office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    def endless(work: Work) -> None:
        while True:
            work.progress(1)
            time.sleep(0.01)

    monkeypatch.setattr(run, "DO", {**DO, "endless": endless})
    runner = Runner(sqlite_office.database, look_every_s=0.05)
    with sqlite_office.database.writing() as session:
        task_id = add_task(session, sqlite_office.now(), "endless", {}).id
    runner.start()
    wait_for(lambda: sqlite_office.task(task_id).state == "running")
    runner.end(10)

    task = sqlite_office.task(task_id)
    assert (task.state, task.attempts, runner._thread.is_alive()) == ("waiting", 0, False)


@on_sqlite
def test_a_thread_outlives_a_database_that_is_away(
    sqlite_office: Office, caplog: pytest.LogCaptureFixture, tmp_path: Path
) -> None:
    away = open_database(f"sqlite:///{tmp_path / 'none.sqlite'}")
    runner = Runner(away, look_every_s=0.05)
    runner.start()
    wait_for(lambda: "tasks wait" in caplog.text)
    alive = runner._thread.is_alive()
    runner.end(10)
    away.close()

    assert alive
    assert "estimator db upgrade" in caplog.text


def test_what_nobody_needs_any_more_is_removed(office: Office) -> None:
    now = datetime.now(UTC)
    old, new = ask(office), ask(office, dearer(LIST, "1.3"))
    with office.database.writing() as session:
        for task_id, at in ((old, now - TASKS_KEPT * 2), (new, now)):
            row = session.get_one(
                TaskRow, (office.scope.organisation_id, task_id),
                execution_options=office.scope.options,
            )  # fmt: skip
            row.state, row.finished_at = "done", at
        count(session, "old", 1, 60, now.replace(year=now.year - 1))
        count(session, "new", 1, 60, now)
    keep_house(office.database, now)

    with office.database.reading() as session:
        left = session.scalars(office.scope.rows(TaskRow)).all()
        assert [row.id for row in left] == [new]
        assert find_counter(session, "new", now) is not None
        assert find_counter(session, "old", now.replace(year=now.year - 1)) is None
