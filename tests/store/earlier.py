"""Databases as earlier versions of the program left them, to migrate them from there.

``earlier/REVISION.json`` holds one row or more of every table that the revision had, in the
values that SQLite keeps. Before a migration is added, ``python -m store.earlier`` (in the folder
tests) writes the file of the newest revision, unless it is there.
"""

import base64
import json
import sys
import tempfile
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from estimator.store.database import Database, open_database
from estimator.store.migrate import ours, schema_state, upgrade

FOLDER = Path(__file__).parent / "earlier"
Rows = Mapping[str, list[dict[str, Any]]]


def earlier_revisions() -> list[str]:
    """The revisions of which there are rows."""
    return sorted(path.stem for path in FOLDER.glob("*.json"))


def read_rows(revision: str) -> Rows:
    """The rows of a revision, by table."""
    text = (FOLDER / f"{revision}.json").read_text()
    rows: Rows = json.loads(text, object_hook=_from_json)
    return rows


def put_rows(database: Database, rows: Rows) -> None:
    """Insert rows into the tables as they are, without the models, which are newer."""
    tables = sa.MetaData()
    with database.engine.begin() as connection:
        tables.reflect(connection)
        for table in tables.sorted_tables:
            for row in rows.get(table.name, ()):
                _put(connection, table, row, plainly=database.sqlite)
        if not database.sqlite:
            # Rows that came with their number did not count the sequence up.
            connection.exec_driver_sql(
                "SELECT setval(pg_get_serial_sequence('organisations', 'id'), max(id)) "
                "FROM organisations"
            )


def _put(connection: sa.Connection, table: sa.Table, row: dict[str, Any], plainly: bool) -> None:
    if not plainly:
        values = {name: _value(table.c[name].type, value) for name, value in row.items()}
        connection.execute(table.insert().values(values))
        return
    names, marks = ", ".join(row), ", ".join("?" * len(row))
    statement = f"INSERT INTO {table.name} ({names}) VALUES ({marks})"
    connection.exec_driver_sql(statement, tuple(row.values()))


_READ: Mapping[type, Callable[[Any, Any], Any]] = {
    sa.Numeric: lambda kind, value: Decimal(value).scaleb(-kind.scale),
    sa.Uuid: lambda _, value: UUID(value),
    sa.DateTime: lambda _, value: datetime.fromisoformat(value).replace(tzinfo=UTC),
    sa.Date: lambda _, value: date.fromisoformat(value),
    sa.Boolean: lambda _, value: bool(value),
    sa.JSON: lambda _, value: json.loads(value),
}


def _value(kind: Any, value: Any) -> Any:
    """A value as PostgreSQL takes it for a column of this type."""
    for known, read in _READ.items():
        if isinstance(kind, known) and value is not None:
            return read(kind, value)
    return value


def write_newest() -> Path:
    """Write the rows of the newest revision. Raises FileExistsError when they are there."""
    from store.databases import new_scope
    from store.store_rows import fill

    with tempfile.TemporaryDirectory() as folder:
        database = open_database(f"sqlite:///{folder}/newest.sqlite")
        upgrade(database)
        scope = new_scope(database)
        with database.writing() as session:
            fill(session, scope)
        target = FOLDER / f"{schema_state(database).newest}.json"
        if target.exists():
            raise FileExistsError(target)
        with database.engine.connect() as connection:
            tables = sa.MetaData()
            tables.reflect(connection)
            rows = {
                name: [
                    dict(row)
                    for row in connection.exec_driver_sql(f"SELECT * FROM {name}").mappings()
                ]
                for name in sorted(set(tables.tables) - {"alembic_version"})
                if ours(name, "table", {})
            }
        database.close()
    FOLDER.mkdir(exist_ok=True)
    target.write_text(json.dumps(rows, indent=1, default=_to_json) + "\n")
    return target


def _to_json(value: Any) -> Any:
    if isinstance(value, bytes):
        return {"base64": base64.b64encode(value).decode()}
    raise TypeError(f"{type(value)} is not kept by SQLite")


def _from_json(found: dict[str, Any]) -> Any:
    return base64.b64decode(found["base64"]) if list(found) == ["base64"] else found


if __name__ == "__main__":
    sys.stdout.write(f"{write_newest()}\n")
