"""A disk that is full, a database that is gone, busy, damaged or of another version."""

import shutil
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psycopg
import pytest
from faults.small_disk import small_disk
from quotes.quote_snapshots import JOB
from sqlalchemy import event, text
from store.databases import empty_postgres, migrated, new_scope
from store.postgres_server import SETTINGS, OwnServer, find_binaries
from store.store_rows import fill, plain_item, price_list

from estimator.store import care, jobs
from estimator.store.catalogue_import import import_price_list
from estimator.store.catalogues import add_catalogue
from estimator.store.database import Database, open_database
from estimator.store.errors import (
    DatabaseDamaged,
    DatabaseUnavailable,
    SchemaMismatch,
    StorageFull,
    told_apart,
)
from estimator.store.listing import Page, list_rows
from estimator.store.migrate import upgrade
from estimator.store.scope import Scope
from estimator.store.sqlite_backup import check_file
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueRow
from estimator.store.tables.jobs import JobRow

MANY = [plain_item(f"F-{place}", row=place) for place in range(1, 4_001)]


@pytest.fixture
def sqlite(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    """A file of SQLite with all tables."""
    with migrated(request, "sqlite", tmp_path) as url:
        opened = open_database(url, busy_ms=100)
        yield opened
        opened.close()


def import_many(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        owner = add_catalogue(session, scope, "Many")
        import_price_list(session, scope, owner.id, price_list(MANY))


def items(database: Database, scope: Scope) -> tuple[int, int]:
    """Catalogues and items."""
    with database.reading() as session:
        return (
            list_rows(session, scope, CatalogueRow, Page()).total,
            list_rows(session, scope, CatalogueItemRow, Page()).total,
        )


def limit_pages(database: Database, pages: int) -> None:
    """No more room than so many pages, as if the disk were full then."""

    def limit(connection: Any, _record: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {pages}")

    database.close()
    event.listen(database.engine, "connect", limit)


# A full disk.


def test_a_full_disk_is_told_and_leaves_everything_as_it_was(sqlite: Database) -> None:
    scope = new_scope(sqlite)
    with sqlite.reading() as session:
        pages = session.execute(text("PRAGMA page_count")).scalar_one()
    limit_pages(sqlite, pages + 60)

    with pytest.raises(StorageFull, match=r"no room left .* Nothing was changed"):
        import_many(sqlite, scope)

    check_file(sqlite.file)
    assert items(sqlite, scope) == (0, 0)
    with sqlite.writing() as session:
        jobs.add_job(session, scope, "What is small still finds room", JOB)
    limit_pages(sqlite, 1_000_000)
    import_many(sqlite, scope)
    assert items(sqlite, scope) == (1, len(MANY))


def test_a_full_disk_stops_a_migration_without_a_trace(tmp_path: Path) -> None:
    database = open_database(f"sqlite:///{tmp_path / 'new.sqlite'}")
    limit_pages(database, 20)

    with pytest.raises(StorageFull):
        upgrade(database)

    with database.reading() as session:
        assert session.execute(text("SELECT count(*) FROM sqlite_master")).scalar_one() == 0
    limit_pages(database, 1_000_000)
    upgrade(database)
    assert care.check(database).startswith("In order")
    database.close()


def test_a_real_file_system_that_is_full(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "4m") as disk:
        database = open_database(f"sqlite:///{disk / 'estimator.sqlite'}")
        upgrade(database)
        scope = new_scope(database)
        (disk / "other").write_bytes(b"x" * (shutil.disk_usage(disk).free - 300_000))
        with pytest.raises(StorageFull):
            import_many(database, scope)
        kept = 0
        with pytest.raises(StorageFull):
            while True:
                with database.writing() as session:
                    jobs.add_job(session, scope, "x" * 4_000, JOB)
                kept += 1
        database.close()

        database = open_database(f"sqlite:///{disk / 'estimator.sqlite'}")
        (disk / "other").unlink()
        check_file(database.file)
        with database.writing() as session:
            jobs.add_job(session, scope, "With room again", JOB)
        with database.reading() as session:
            assert list_rows(session, scope, JobRow, Page()).total == kept + 1 > 1
        assert items(database, scope) == (0, 0)
        database.close()


def test_a_backup_that_finds_no_room_leaves_nothing(sqlite: Database, tmp_path: Path) -> None:
    import_many(sqlite, new_scope(sqlite))
    with small_disk(tmp_path / "disk", "200k") as disk:
        with pytest.raises(StorageFull):
            care.back_up(sqlite, disk / "backup.sqlite")

        assert list(disk.iterdir()) == []


# A database that is busy, gone, damaged or of another version.


def test_who_waits_too_long_for_another_writer_is_told(sqlite: Database) -> None:
    scope = new_scope(sqlite)
    holding, enough = threading.Event(), threading.Event()

    def hold() -> None:
        with sqlite.writing() as session:
            jobs.add_job(session, scope, "First", JOB)
            holding.set()
            enough.wait(10)

    other = threading.Thread(target=hold)
    other.start()
    holding.wait(10)
    with pytest.raises(DatabaseUnavailable, match="busy") as refused, sqlite.writing() as session:
        jobs.add_job(session, scope, "Second", JOB)
    with sqlite.reading() as session:
        # Who only reads does not wait.
        assert list_rows(session, scope, JobRow, Page()).total == 0
    enough.set()
    other.join()

    assert refused.value.retry_after_s > 0
    with sqlite.reading() as session:
        assert [row.name for row in list_rows(session, scope, JobRow, Page()).rows] == ["First"]


def test_a_file_that_cannot_be_opened(tmp_path: Path) -> None:
    (tmp_path / "a folder").mkdir()
    database = open_database(f"sqlite:///{tmp_path / 'a folder'}")

    with pytest.raises(DatabaseUnavailable, match="cannot be reached"):
        database.check_connection()


def test_a_file_that_is_no_database_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "letter.txt"
    file.write_bytes(b"Dear Sir, " * 500)
    database = open_database(f"sqlite:///{file}")

    for step in (database.check_connection, lambda: upgrade(database)):
        with pytest.raises(DatabaseDamaged):
            step()
    assert file.read_bytes() == b"Dear Sir, " * 500


def test_a_damaged_page_is_noticed(sqlite: Database) -> None:
    scope = new_scope(sqlite)
    import_many(sqlite, scope)
    sqlite.close()
    content = bytearray(sqlite.file.read_bytes())
    middle = len(content) // 2
    content[middle : middle + 4096] = b"\xa5" * 4096
    sqlite.file.write_bytes(content)

    with pytest.raises(DatabaseDamaged, match=r"is damaged|cannot be read"):
        care.check(sqlite)


def test_a_database_without_tables_says_what_to_do(tmp_path: Path, postgres: str) -> None:
    with empty_postgres(postgres) as url:
        for each in (url, f"sqlite:///{tmp_path / 'empty.sqlite'}"):
            database = open_database(each)
            with pytest.raises(SchemaMismatch, match="Run: estimator db upgrade"):
                new_scope(database)
            database.close()


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OwnServer]:
    """A server of the test's own, that it may stop."""
    with tempfile.TemporaryDirectory(prefix="estimator_pg_", ignore_cleanup_errors=True) as name:
        # What was kept must be there after it was stopped as by a power cut.
        kept = SETTINGS | {"synchronous_commit": "on"}
        made = OwnServer(Path(name), find_binaries(Path(name)), kept)
        made.make()
        made.start()
        yield made
        made.stop()


def test_a_server_that_is_gone_and_comes_back(server: OwnServer) -> None:
    database = open_database(server.url)
    upgrade(database)
    scope = new_scope(database)
    with database.writing() as session:
        fill(session, scope)
        jobs.add_job(session, scope, "Before", JOB)

    with pytest.raises(DatabaseUnavailable), database.writing() as session:
        jobs.add_job(session, scope, "Lost on the way", JOB)
        server.stop()
        jobs.add_job(session, scope, "Never begun", JOB)
    for way in (database.reading, database.writing):
        with pytest.raises(DatabaseUnavailable, match="cannot be reached") as refused, way():
            database.check_connection()
        assert refused.value.retry_after_s > 0
    server.start()

    database.check_connection()
    with database.reading() as session:
        names = [row.name for row in list_rows(session, scope, JobRow, Page()).rows]
    assert names == ["House", "Before"]
    database.close()


def test_a_connection_that_breaks_in_the_middle(server: OwnServer) -> None:
    database = open_database(server.url)
    upgrade(database)
    scope = new_scope(database)

    with pytest.raises(DatabaseUnavailable), database.writing() as session:
        jobs.add_job(session, scope, "Lost", JOB)
        own = session.execute(text("SELECT pg_backend_pid()")).scalar_one()
        with psycopg.connect(server.url, autocommit=True) as other:
            other.execute("SELECT pg_terminate_backend(%s, 5000)", [own])
        jobs.add_job(session, scope, "Lost too", JOB)

    with database.reading() as session:
        assert list_rows(session, scope, JobRow, Page()).total == 0
    database.close()


def test_an_import_whose_connection_breaks_leaves_nothing(server: OwnServer) -> None:
    database = open_database(server.url)
    upgrade(database)
    scope = new_scope(database)

    def cut(_taken: int) -> None:
        with psycopg.connect(server.url, autocommit=True) as other:
            other.execute(
                "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity "
                "WHERE backend_type = 'client backend' AND pid <> pg_backend_pid()"
            )

    with pytest.raises(DatabaseUnavailable), database.writing() as session:
        owner = add_catalogue(session, scope, "Many")
        import_price_list(session, scope, owner.id, price_list(MANY * 2), progress=cut)

    assert items(database, scope) == (0, 0)
    database.close()


# SQLSTATE codes: PostgreSQL 17 manual, Appendix A.
@pytest.mark.parametrize(
    ("code", "kind"),
    [
        ("53100", StorageFull),
        ("53300", DatabaseUnavailable),
        ("57P01", DatabaseUnavailable),
        ("57P03", DatabaseUnavailable),
        ("08006", DatabaseUnavailable),
        ("40001", DatabaseUnavailable),
        ("40P01", DatabaseUnavailable),
        ("25006", DatabaseUnavailable),
        ("42P01", SchemaMismatch),
        ("42601", None),
        ("22003", None),
    ],
)
def test_codes_of_postgresql_are_told_apart(code: str, kind: type[Exception] | None) -> None:
    told = told_apart(psycopg.errors.lookup(code)("message"))

    assert type(told) is (kind or type(None))
