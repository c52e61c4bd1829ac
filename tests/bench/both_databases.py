"""A database of each kind on this machine, for the benches of the store."""

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from store.databases import empty_postgres
from store.postgres_server import postgres_server

from estimator.store.database import Database, open_database
from estimator.store.migrate import upgrade


@contextmanager
def both_databases() -> Iterator[list[Database]]:
    """SQLite and PostgreSQL with all tables, removed at the end."""
    with (
        tempfile.TemporaryDirectory() as folder,
        postgres_server() as server,
        empty_postgres(server) as url,
    ):
        opened = [open_database(f"sqlite:///{folder}/bench.sqlite"), open_database(url)]
        for each in opened:
            upgrade(each)
        yield opened
        for each in opened:
            each.close()


def name_of(database: Database) -> str:
    """How a database is called in the table."""
    return "SQLite" if database.sqlite else "PostgreSQL"
