"""Look after a database: upgrade, check, back up, restore. Each tells in words what it did."""

from datetime import datetime
from pathlib import Path

from estimator.store import postgres_backup, sqlite_backup
from estimator.store.database import Database
from estimator.store.errors import SchemaMismatch
from estimator.store.migrate import differences, newer, schema_state
from estimator.store.migrate import upgrade as upgrade_schema


def upgrade(database: Database) -> str:
    """Make the tables, or bring them to this version. Raises StoreError."""
    before = upgrade_schema(database)
    if before.up_to_date:
        return f"Up to date: revision {before.newest}, {place(database)}"
    return f"Upgraded from {before.current or 'empty'} to {before.newest}: {place(database)}"


def check(database: Database) -> str:
    """Look whether it is whole and has the tables of this version. Raises StoreError."""
    if database.file is not None:
        if not database.file.exists():
            raise SchemaMismatch(f"There is no database {database.file}. Run: estimator db upgrade")
        sqlite_backup.check_file(database.file)
    state = schema_state(database)
    if not state.known:
        raise SchemaMismatch(newer(state.current))
    if not state.up_to_date:
        raise SchemaMismatch(
            f"The database has {state.current or 'no tables'}, not revision {state.newest}. "
            "Run: estimator db upgrade"
        )
    found = differences(database)
    if found:
        raise SchemaMismatch("\n".join(f"The tables differ: {each}" for each in found))
    return f"In order: {place(database)}"


def back_up(database: Database, file: Path) -> str:
    """Write a backup to a file while others use the database. Raises StoreError."""
    if database.file is not None:
        sqlite_backup.back_up(database.file, file)
    else:
        postgres_backup.back_up(database.engine.url, file)
    return f"Backed up {place(database)} to {file} ({file.stat().st_size:,} bytes)"


def restore(database: Database, file: Path, at: datetime, *, replace: bool) -> str:
    """Put a backup in the place of the database, which nobody may use. Raises StoreError."""
    told = f"Restored {file} to {place(database)}. Next: estimator db upgrade"
    if database.file is not None:
        aside = sqlite_backup.restore(file, database.file, at, replace=replace)
        return f"The former database is now {aside}\n{told}" if aside else told
    empty = schema_state(database).current is None
    postgres_backup.restore(database.engine.url, file, empty=empty)
    return told


def place(database: Database) -> str:
    """Where the database is, without a password."""
    return database.engine.url.set(drivername=database.engine.dialect.name).render_as_string()
