"""The commands ``estimator db`` and ``estimator config``: the database and the settings.

The store is imported only when a command of it runs: its libraries take half a second.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.config import Config, settings_table
from estimator.finding import InputRefused

if TYPE_CHECKING:
    from estimator.store.database import Database

FAILED = 1
BAD_INPUT = 2
_FILE = click.Path(path_type=Path, dir_okay=False)


@click.group()
def db() -> None:
    """Look after the database that ESTIMATOR_DATABASE_URL names."""


@db.command()
def upgrade() -> None:
    """Make the tables, or bring them to this version; does nothing when they are."""
    from estimator.store import care

    with _database() as database:
        click.echo(care.upgrade(database))


@db.command()
def check() -> None:
    """Look whether the database is whole and has the tables of this version."""
    from estimator.store import care

    with _database() as database:
        click.echo(care.check(database))


@db.command()
@click.argument("file", type=_FILE)
def backup(file: Path) -> None:
    """Write a backup to FILE while the service goes on."""
    from estimator.store import care

    with _database() as database:
        click.echo(care.back_up(database, file))


@db.command()
@click.argument("file", type=_FILE)
@click.option("--replace", is_flag=True, help="Put a database that is there aside (SQLite).")
def restore(file: Path, replace: bool) -> None:
    """Put the backup FILE in the place of the database; stop the service first."""
    from estimator.store import care

    with _database() as database:
        click.echo(care.restore(database, file, datetime.now(UTC), replace=replace))


@click.command()
def config() -> None:
    """List every setting: its variable, its value and what it means."""
    with _refused():
        for row in settings_table(Config.from_environment()):
            click.echo(f"{row.variable}={row.now}\n    {row.meaning} Default: {row.default}")


@contextmanager
def _database() -> Iterator["Database"]:
    from estimator.store.database import open_database
    from estimator.store.errors import StoreError

    with _refused():
        settings = Config.from_environment()
        database = open_database(settings.database_url, busy_ms=settings.database_busy_ms)
        try:
            yield database
        except StoreError as error:
            click.echo(str(error), err=True)
            raise SystemExit(FAILED) from None
        finally:
            database.close()


@contextmanager
def _refused() -> Iterator[None]:
    try:
        yield
    except InputRefused as refused:
        for fault in refused.faults:
            click.echo(f"{fault.where}: {fault.message}", err=True)
        raise SystemExit(BAD_INPUT) from None
