"""Back up a database of SQLite while it is in use, and put a backup in its place."""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path
from tempfile import mkstemp

from estimator.store.errors import (
    Conflict,
    DatabaseDamaged,
    DatabaseUnavailable,
    SchemaMismatch,
    told_apart,
)
from estimator.store.migrate import newer, state_of

_PAGES_AT_ONCE = 2_000
_BESIDE = ("-wal", "-shm", "-journal")


def back_up(source: Path, target: Path) -> None:
    """Copy a database to a file, as of one moment, while others go on using it.

    The copy is checked before it takes its name. Raises Conflict where the target is there
    already; DatabaseDamaged, DatabaseUnavailable, StorageFull.
    """
    if target.exists():
        raise Conflict(f"{target} is there already; name another file.")
    if not source.is_file():
        raise DatabaseUnavailable(f"There is no database {source}.")
    with _written_whole(target) as part:
        _copy(source, part)
        check_file(part)


def restore(source: Path, target: Path, at: datetime, *, replace: bool = False) -> Path | None:
    """Put a backup in the place of a database; where the former one was put, if there was one.

    The backup is checked first: whole, and not of a newer version of the program. Raises
    Conflict where a database is there and ``replace`` is not said, or where it is in use.
    """
    if not source.is_file():
        raise DatabaseUnavailable(f"There is no backup {source}.")
    state = state_of(check_file(source))
    if not state.known:
        raise SchemaMismatch(newer(state.current))
    there = target.exists()
    if there and not replace:
        raise Conflict(f"{target} is there already; say --replace to put it aside.")
    aside = target.with_name(f"{target.name}.before-restore-{at:%Y%m%dT%H%M%S}") if there else None
    with _written_whole(target) as part:
        _copy(source, part)
        check_file(part)
        if aside is not None:
            _put_aside(target, aside)
    return aside


def check_file(file: Path) -> str | None:
    """The revision of a database, after every page and reference of it was looked at.

    Raises DatabaseDamaged, with what is wrong.
    """
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)) as database:
            faults = [text for (text,) in database.execute("PRAGMA integrity_check(5)")]
            if faults != ["ok"]:
                raise DatabaseDamaged(f"{file} is damaged: {'; '.join(faults)}")
            broken = database.execute("PRAGMA foreign_key_check").fetchmany(5)
            if broken:
                raise DatabaseDamaged(f"{file}: rows refer to rows that are not there: {broken}")
            return _revision(database, file)
    except sqlite3.Error as error:
        told = told_apart(error)
        if isinstance(told, DatabaseUnavailable):
            raise told from error
        raise DatabaseDamaged(f"{file} cannot be read as a database: {error}.") from error


def _revision(database: sqlite3.Connection, file: Path) -> str | None:
    tables = {name for (name,) in database.execute("SELECT name FROM sqlite_master")}
    if "alembic_version" not in tables:
        raise SchemaMismatch(f"{file} is not a database of this program.")
    found = database.execute("SELECT version_num FROM alembic_version").fetchone()
    return None if found is None else str(found[0])


def _copy(source: Path, target: Path) -> None:
    try:
        with (
            closing(sqlite3.connect(source)) as one,
            closing(sqlite3.connect(target)) as two,
        ):
            # What others write meanwhile would make the copy begin anew, for ever if they go on.
            one.execute("BEGIN")
            one.execute("SELECT count(*) FROM sqlite_master").fetchone()
            one.backup(two, pages=_PAGES_AT_ONCE)
            # One file: a copy that needs a second one beside it is easily lost.
            two.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.Error as error:
        raise told_apart(error) or error from error


@contextmanager
def _written_whole(target: Path) -> Iterator[Path]:
    """A file beside the target that takes its name when all went well, and vanishes if not."""
    handle, name = mkstemp(prefix=f"{target.name}.", suffix=".part", dir=target.parent)
    os.close(handle)
    part = Path(name)
    try:
        yield part
        with part.open("rb+") as written:
            os.fsync(written.fileno())
        part.replace(target)
    finally:
        for each in ("", *_BESIDE):
            part.with_name(part.name + each).unlink(missing_ok=True)


def _put_aside(database: Path, aside: Path) -> None:
    try:
        with closing(sqlite3.connect(database, timeout=1)) as opened:
            # Possible only while nobody else has it open; leaves all in the one file.
            opened.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.Error as error:
        if isinstance(told_apart(error), DatabaseUnavailable):
            raise Conflict(f"{database} is in use; stop the service first.") from error
    for each in ("", *_BESIDE):
        beside = database.with_name(database.name + each)
        if beside.exists():
            beside.replace(aside.with_name(aside.name + each))
