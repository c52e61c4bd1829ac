"""Offices to test with: organisations of their own in one database of SQLite."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from store.databases import new_scope
from web.api.office import Office, open_app

from estimator.store.database import Database, open_database


@pytest.fixture(scope="module")
def office_database(
    sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Database]:
    """A database with all tables and no rows."""
    file = tmp_path_factory.mktemp("api") / "estimator.sqlite"
    shutil.copy(sqlite_template, file)
    opened = open_database(f"sqlite:///{file}", busy_ms=5_000)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def office_app(office_database: Database) -> Flask:
    return open_app(office_database)


@pytest.fixture
def office(office_app: Flask, office_database: Database) -> Office:
    """An organisation of the test's own."""
    return Office(office_app, new_scope(office_database))


@pytest.fixture
def neighbour(office_app: Flask, office_database: Database) -> Office:
    """Another organisation in the same database."""
    return Office(office_app, new_scope(office_database))
