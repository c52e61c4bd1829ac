"""Backups while clients write; each is restored into an empty place and work goes on there."""

import os
import shutil
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from uuid import UUID

import pytest
from faults.counted import ROUNDS, told
from load.checks import all_quotes, holes
from load.clients import Day, run_clients
from load.line import Line
from load.offices import open_office
from load.service import Service, serving
from store.databases import NOW, empty_postgres, new_scope
from store.test_store_backup import command

from estimator.store import care, jobs, sqlite_backup
from estimator.store.database import Database, open_database
from estimator.store.files import add_file
from estimator.store.quote_revisions import find_revisions, snapshot_document
from estimator.store.scope import Scope
from estimator.store.tables.quotes import CounterRow, QuoteEventRow, QuoteRow
from estimator.store.tables.work import AuditEntryRow, IdempotencyKeyRow, TaskRow
from estimator.web.caller import local_caller


@pytest.fixture(params=["sqlite", "postgresql"])
def service(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Service]:
    """The real service on an empty database."""
    with empty_place(request, request.param, tmp_path / "first") as url, serving(url) as running:
        yield running


@contextmanager
def empty_place(request: pytest.FixtureRequest, kind: str, folder: Path) -> Iterator[str]:
    with ExitStack() as stack:
        if kind == "sqlite":
            yield f"sqlite:///{folder / 'estimator.sqlite'}"
        else:
            yield stack.enter_context(empty_postgres(request.getfixturevalue("postgres")))


def test_a_restored_backup_is_of_one_moment_and_goes_on(
    request: pytest.FixtureRequest, service: Service, tmp_path: Path
) -> None:
    kind = service.url.partition(":")[0]
    token, desk = open_office(service, 1)
    files, day = [], Day()

    def work() -> None:
        day.__dict__.update(
            vars(run_clients(service.port, [(token, desk)], 4, 4.0 + 3.0 * ROUNDS, think_s=0.1))
        )

    clients = threading.Thread(target=work)
    clients.start()
    for number in range(ROUNDS):
        time.sleep(2.5)
        files.append((tmp_path / f"backup{number}", []))
        # What was there before the backup began must be in it.
        line = Line(service.port, token)
        files[-1][1].extend(str(row["number"]) for row in all_quotes(line))
        line.close()
        said = command(service.url, "backup", str(files[-1][0]))
        assert said.exit_code == 0, said.output
    clients.join()
    assert day.unexpected == []

    kept = 0
    for number, (file, before) in enumerate(files):
        with empty_place(request, kind, tmp_path / f"again{number}") as url:
            for words in (("restore", str(file)), ("upgrade",), ("check",)):
                said = command(url, *words)
                assert said.exit_code == 0, said.output
            numbers = check_whole(url)
            assert set(before) <= set(numbers)
            kept += len(numbers)
            if number == len(files) - 1:
                _work_goes_on(url, token, desk, numbers)
    told("restore of a backup", kind, ROUNDS, kept, 0)


def check_whole(url: str) -> list[str]:
    """Look that nothing is there by half; the numbers of the quotes."""
    database = open_database(url)
    scope = only_scope(database)
    with database.reading() as session:
        quotes = session.scalars(scope.rows(QuoteRow).order_by(QuoteRow.sequence)).all()
        counters = session.scalars(scope.rows(CounterRow)).all()
        events = session.scalars(scope.rows(QuoteEventRow)).all()
        entries = session.scalars(scope.rows(AuditEntryRow)).all()
        revisions = 0
        for quote in quotes:
            every = find_revisions(session, scope, quote.id)
            assert [each.number for each in every] == list(range(1, quote.newest + 1))
            for each in every:
                snapshot_document(each)
            revisions += len(every)
        # Of each revision the event that made it, and the audit entry of the same transaction.
        assert sum(each.before is None for each in events) == revisions
        made = [each for each in entries if each.subject == "quote" and each.action in _MADE]
        assert len(made) == revisions
        # An answer that is kept for repeats came with what it tells of.
        for key in session.scalars(scope.rows(IdempotencyKeyRow)):
            assert key.status is not None and key.body is not None
    database.close()
    numbers = [quote.number for quote in quotes]
    assert holes([{"number": each} for each in numbers]) == []
    assert {each.value for each in counters if each.name.startswith("quotes/")} == {len(quotes)}
    return numbers


_MADE = ("added", "revised")


def only_scope(database: Database) -> Scope:
    return local_caller(database, NOW).scope


def _work_goes_on(url: str, token: str, desk: object, numbers: list[str]) -> None:
    """The service on the restored database: tasks that waited are done, numbers go on."""
    with serving(url) as again:
        day = run_clients(again.port, [(token, desk)], 2, 3.0, think_s=0.1, seed=7)
        assert day.unexpected == []
        line = Line(again.port, token, again_s=30)
        rows = all_quotes(line)
        assert holes(rows) == []
        assert len(rows) == len(numbers) + len(day.made[token].quotes)
        end = time.monotonic() + 90
        while open_tasks(url) and time.monotonic() < end:
            time.sleep(0.5)
        assert open_tasks(url) == []
        line.close()


def open_tasks(url: str) -> list[UUID]:
    database = open_database(url)
    with database.reading() as session:
        rows = session.scalars(only_scope(database).rows(TaskRow))
        found = [each.id for each in rows if each.state in ("waiting", "running")]
    database.close()
    return found


def test_a_backup_of_sqlite_ends_though_others_never_stop_writing(
    request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    shutil.copy(request.getfixturevalue("sqlite_template"), tmp_path / "estimator.sqlite")
    database = open_database(f"sqlite:///{tmp_path / 'estimator.sqlite'}")
    scope = new_scope(database)
    with database.writing() as session:
        # So large that it is copied in several steps.
        add_file(session, scope, "large.csv", "text/csv", os.urandom(48 * 1024 * 1024))
    stop, written = threading.Event(), 0

    def write() -> None:
        nonlocal written
        while not stop.is_set() and written < 2_000:
            with database.writing() as session:
                jobs.add_job(session, scope, f"Job {written}", {"inlet": "L14-30"})
            written += 1

    writer = threading.Thread(target=write)
    writer.start()
    try:
        care.back_up(database, tmp_path / "backup.sqlite")
        when_done = written
    finally:
        stop.set()
        writer.join()
    database.close()

    assert when_done < 2_000, "the copy began anew whenever something was written"
    assert sqlite_backup.check_file(tmp_path / "backup.sqlite") is not None
