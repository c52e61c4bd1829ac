"""A process that is killed (kill -9) at any moment leaves all of a step or nothing of it.

ESTIMATOR_KILL_ROUNDS says how often each is killed; ``pytest -s`` then shows the table.
"""

import multiprocessing
import os
import random
import time
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Select, func, select
from store import kill_worker
from store.databases import NOW, migrated, new_scope
from store.next_migrations import downgrade, with_next_migration
from store.store_rows import fill

from estimator.store import migrate, quote_revisions, tasks
from estimator.store.database import Database, open_database
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.scope import Scope
from estimator.store.sqlite_backup import check_file
from estimator.store.tables import metadata
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueRow, CatalogueVersionRow
from estimator.store.tables.jobs import CustomerRow
from estimator.store.tables.quotes import CounterRow, QuoteEventRow, QuoteRevisionRow, QuoteRow
from estimator.store.tables.work import AuditEntryRow, TaskRow

ROUNDS = int(os.environ.get("ESTIMATOR_KILL_ROUNDS", "3"))
STEPS_WAITED = 4.0
HOUR = timedelta(hours=1)


@pytest.fixture(scope="module")
def processes() -> Any:
    """Makes processes that have our modules already."""
    context = multiprocessing.get_context("forkserver")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONPATH", str(Path(__file__).parents[1]))
        context.set_forkserver_preload(["store.kill_worker"])
        yield context


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A database of each kind with all tables."""
    with migrated(request, request.param, tmp_path) as made:
        yield made


def killed(processes: Any, what: str, url: str, scope: Scope, moment: random.Random) -> int:
    """Let a process do its steps, kill it at some moment; how many steps it said were kept."""
    hear, say = processes.Pipe(duplex=False)
    worker = processes.Process(
        target=kill_worker.work, args=(what, url, scope, migrate.MIGRATIONS, say)
    )
    worker.start()
    say.close()
    # The first step takes longer, for everything is new; then at some moment of a later one.
    said, began = 0, 0.0
    while said < 2:
        assert hear.poll(30), "it came to a stop"
        began, before = time.monotonic(), began
        said = hear.recv()
    time.sleep(moment.uniform(0, STEPS_WAITED) * (began - before))
    worker.kill()
    worker.join()
    assert worker.exitcode == -9, "it ended by itself"
    while True:
        try:
            said = hear.recv()
        except EOFError:
            hear.close()
            return said


def rounds(
    processes: Any, what: str, url: str, look: Callable[[Database, Scope], int]
) -> Iterator[tuple[Database, Scope]]:
    """Kill again and again; after each look at what is there, which gives the steps kept."""
    database = open_database(url)
    scope = new_scope(database)
    database.close()
    moment, kept, said = random.Random(f"{what} {url[:6]}"), 0, 0
    for number in range(1, ROUNDS + 1):
        later = Scope(scope.organisation_id, NOW + number * HOUR, None, "Test")
        told = killed(processes, what, url, later, moment)
        said += told
        # A new one, as after a restart.
        database = open_database(url)
        if database.file is not None:
            check_file(database.file)
        found = look(database, scope)
        # What was said is there; the step that was under way may be, if only its word was lost.
        assert found - kept in (told, told + 1), f"round {number}"
        kept = found
        yield database, later
        database.close()
    print(f"{what:10} {url[:6]:7} {ROUNDS:5} rounds {kept:6} steps kept, {said} said, 0 lost")


def count(database: Database, scope: Scope, table: type, *where: Any) -> int:
    with database.reading() as session:
        statement: Select[Any] = scope.rows(table).with_only_columns(func.count())
        return session.scalar(statement.where(*where)) or 0


def test_quotes(processes: Any, url: str) -> None:
    def look(database: Database, scope: Scope) -> int:
        with database.reading() as session:
            found = session.scalars(scope.rows(QuoteRow).order_by(QuoteRow.sequence)).all()
            counter = session.get(
                CounterRow, (scope.organisation_id, "quotes/2026"), execution_options=scope.options
            )
            for row in session.scalars(scope.rows(QuoteRevisionRow)):
                quote_revisions.snapshot_document(row)
        assert [row.sequence for row in found] == list(range(1, len(found) + 1))
        assert (counter.value if counter else 0) == len(found)
        assert {row.state for row in found} <= {"sent"}
        assert count(database, scope, QuoteRevisionRow) == len(found)
        assert count(database, scope, QuoteEventRow) == 2 * len(found)
        assert count(database, scope, AuditEntryRow) == 2 * len(found)
        return len(found)

    for _ in rounds(processes, "quote", url, look):
        pass


def test_imports(processes: Any, url: str) -> None:
    def look(database: Database, scope: Scope) -> int:
        with database.reading() as session:
            versions = session.scalars(scope.rows(CatalogueVersionRow)).all()
            items = session.execute(
                scope.rows(CatalogueItemRow)
                .with_only_columns(CatalogueItemRow.item_set, func.count())
                .group_by(CatalogueItemRow.item_set)
            ).all()
        expected = {(row.item_set, len(kill_worker.ITEMS)) for row in versions}
        assert {tuple(each) for each in items} == expected
        assert {row.items for row in versions} <= {len(kill_worker.ITEMS)}
        assert count(database, scope, CatalogueRow) == len(versions)
        return len(versions)

    for _ in rounds(processes, "import", url, look):
        pass


def test_tasks(processes: Any, url: str) -> None:
    def look(database: Database, scope: Scope) -> int:
        with database.reading() as session:
            every = {EVERY_ORGANISATION: True}
            titles = session.scalars(select(QuoteRow.title).execution_options(**every)).all()
            done = session.scalars(
                select(TaskRow.id).where(TaskRow.state == "done").execution_options(**every)
            ).all()
        # Work and word of it, both or neither; cause and task, both or neither.
        assert sorted(titles) == sorted(map(str, done))
        assert count(database, scope, CustomerRow) == count(database, scope, TaskRow)
        return len(done)

    last = None
    for database, scope in rounds(processes, "task", url, look):
        last = (scope, count(database, scope, TaskRow))
    scope, asked = last
    database = open_database(url)
    later = Scope(scope.organisation_id, scope.at + HOUR, None, "Test")
    while True:
        with database.writing() as session:
            claimed = tasks.claim_task(session, later.at)
        if claimed is None:
            break
        with database.writing() as session:
            kill_worker.quotes.add_quote(
                session, later, str(claimed.task.id), kill_worker.SNAPSHOT, year=2026
            )
            tasks.finish_task(session, later, claimed.task.id, {})
    assert look(database, scope) == asked
    database.close()


def test_migrations(
    processes: Any, url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    database = open_database(url)
    first = migrate.schema_state(database).newest
    scope = new_scope(database)
    with database.writing() as session:
        fill(session, scope)
    before = all_rows(database)
    database.close()
    monkeypatch.setattr(migrate, "MIGRATIONS", with_next_migration(tmp_path))
    moment, said = random.Random(f"migration {url[:6]}"), 0
    states = Counter()
    for _ in range(ROUNDS):
        said += killed(processes, "migration", url, scope, moment)
        database = open_database(url)
        state = migrate.schema_state(database)
        states[state.current] += 1
        assert state.current in (first, "next")
        # Either the tables of the one or those of the other, and never some of each.
        assert len(migrate.differences(database)) == (3 if state.up_to_date else 0)
        if state.up_to_date:
            downgrade(database, first)
        assert migrate.differences(database) == []
        assert all_rows(database) == before
        database.close()
    print(f"{'migration':10} {url[:6]:7} {ROUNDS:5} rounds {said:6} steps said, 0 lost; {states}")


def all_rows(database: Database) -> dict[str, list[Any]]:
    with database.reading() as session:
        return {
            table.name: sorted(map(repr, session.connection().execute(select(table))))
            for table in metadata.sorted_tables
        }
