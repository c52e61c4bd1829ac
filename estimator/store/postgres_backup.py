"""Back up and restore PostgreSQL by its own programs, pg_dump and pg_restore."""

import os
import re
import shutil
import subprocess
from pathlib import Path

from sqlalchemy import URL

from estimator.store.errors import (
    Conflict,
    DatabaseDamaged,
    DatabaseUnavailable,
    SchemaMismatch,
    StoreError,
)
from estimator.store.migrate import newer, state_of

_REVISION = re.compile(r"^COPY \S*alembic_version .*\n(\S+)$", re.MULTILINE)


def back_up(url: URL, target: Path) -> None:
    """Dump a database to a file. Raises Conflict, DatabaseUnavailable."""
    if target.exists():
        raise Conflict(f"{target} is there already; name another file.")
    part = target.with_name(target.name + ".part")
    try:
        _run("pg_dump", url, "--format=custom", "--no-owner", "--file", str(part))
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)


def restore(url: URL, source: Path, *, empty: bool) -> None:
    """Load a dump into an empty database, all of it or nothing.

    empty: whether the database has no tables of ours. Raises Conflict where it has,
    DatabaseDamaged and SchemaMismatch for a dump that cannot be used.
    """
    if not source.is_file():
        raise DatabaseUnavailable(f"There is no backup {source}.")
    state = state_of(dumped_revision(source))
    if not state.known:
        raise SchemaMismatch(newer(state.current))
    if not empty:
        raise Conflict("The database has tables already; make a new one and restore into that.")
    _run("pg_restore", url, "--no-owner", "--single-transaction", "--exit-on-error", str(source))


def dumped_revision(source: Path) -> str:
    """The revision of the database that was dumped. Raises DatabaseDamaged."""
    done = subprocess.run(
        [_program("pg_restore"), "--data-only", "--table=alembic_version", "--file=-", str(source)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    found = _REVISION.search(done.stdout)
    if done.returncode or found is None:
        said = done.stderr.strip() or "it holds no revision"
        raise DatabaseDamaged(f"{source} is not a backup of this program: {said}")
    return found[1]


def _run(name: str, url: URL, *words: str) -> None:
    # The password goes by the environment: the words of a command can be seen by everybody.
    plain = url.set(drivername="postgresql", password=None)
    environment = os.environ | ({"PGPASSWORD": str(url.password)} if url.password else {})
    done = subprocess.run(
        [_program(name), "--dbname", plain.render_as_string(), *words],
        capture_output=True, text=True, check=False, env=environment,
    )  # fmt: skip
    if done.returncode:
        raise StoreError(f"{name}: {done.stderr.strip()}")


def _program(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        raise DatabaseUnavailable(
            f"{name} is not installed here. Install the programs of PostgreSQL, or run on the "
            "server: pg_dump --format=custom --file FILE DATABASE to back up, pg_restore "
            "--single-transaction --dbname DATABASE FILE to restore."
        )
    return found
