"""Fixtures: an empty database of each kind, made by migrating, one for each test module.

A module that uses ``database`` runs on SQLite and on PostgreSQL. Tests share their module's
database and keep apart by an organisation each (``scope``).
"""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

import psycopg
import pytest
from store.postgres_server import postgres_server

from estimator.store.database import Database, open_database
from estimator.store.migrate import upgrade
from estimator.store.organisations import add_organisation
from estimator.store.scope import Scope

NOW = datetime(2026, 3, 2, 15, 30, 45, 123456, tzinfo=UTC)


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """The URL of a running server."""
    with postgres_server() as url:
        yield url


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file of SQLite with all tables, to be copied."""
    file = tmp_path_factory.mktemp("sqlite") / "template.sqlite"
    database = open_database(f"sqlite:///{file}")
    upgrade(database)
    database.close()
    return file


@pytest.fixture(scope="session")
def postgres_template(postgres: str) -> Iterator[str]:
    """The name of a database with all tables, to be copied."""
    with empty_postgres(postgres) as url:
        database = open_database(url)
        upgrade(database)
        database.close()
        yield database_name(url)


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def database(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Database]:
    """A database with all tables and no rows."""
    with migrated(request, request.param, tmp_path_factory.mktemp("module")) as url:
        opened = open_database(url, busy_ms=5_000)
        yield opened
        opened.close()


@contextmanager
def migrated(request: pytest.FixtureRequest, kind: str, folder: Path) -> Iterator[str]:
    """The URL of a new database with all tables, copied: "sqlite" or "postgresql"."""
    if kind == "sqlite":
        shutil.copy(request.getfixturevalue("sqlite_template"), folder / "estimator.sqlite")
        yield f"sqlite:///{folder / 'estimator.sqlite'}"
        return
    server = request.getfixturevalue("postgres")
    with empty_postgres(server, request.getfixturevalue("postgres_template")) as url:
        yield url


@pytest.fixture
def scope(database: Database) -> Scope:
    """An organisation of the test's own."""
    return new_scope(database)


@pytest.fixture
def other(database: Database) -> Scope:
    """Another organisation in the same database."""
    return new_scope(database)


def new_scope(database: Database) -> Scope:
    """A new organisation, acted for at a fixed time."""
    with database.writing() as session:
        organisation = add_organisation(session, f"Invented Electric {uuid4().hex[:6]}", NOW)
        return Scope(organisation.id, NOW, None, "Test")


class empty_postgres:  # noqa: N801
    """A new database on a server, from a template; removed at the end. Gives its URL."""

    def __init__(self, server: str, template: str = "template0") -> None:
        self._server, self._template = server, template
        self._name = f"t_{uuid4().hex}"

    def __enter__(self) -> str:
        self._run(f"CREATE DATABASE {self._name} TEMPLATE {self._template}")
        head, _, query = self._server.partition("?")
        return f"{head.rsplit('/', 1)[0]}/{self._name}{'?' + query if query else ''}"

    def __exit__(self, *_: object) -> None:
        self._run(f"DROP DATABASE IF EXISTS {self._name} WITH (FORCE)")

    def _run(self, statement: str) -> None:
        with psycopg.connect(self._server, autocommit=True) as connection:
            connection.execute(statement)


def database_name(url: str) -> str:
    """The name of the database in a URL."""
    return url.partition("?")[0].rsplit("/", 1)[1]
