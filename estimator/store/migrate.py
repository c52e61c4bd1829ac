"""Bring a database to the tables of this version, and tell whether it has them."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config as AlembicConfig
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, text

import estimator
from estimator.store.database import Database
from estimator.store.errors import SchemaMismatch, told_apart
from estimator.store.tables import metadata

MIGRATIONS = Path(estimator.__file__).parent.parent / "migrations"
# Any number that nothing else locks in the same database.
_LOCK = 8_460_210_315
# The text index of PostgreSQL: a column, and its index.
_WORDS = frozenset({"words", "ix_catalogue_items_words"})


@dataclass(frozen=True, slots=True)
class SchemaState:
    """Where a database stands. current: None for an empty one. known: we have its revision."""

    current: str | None
    newest: str
    known: bool

    @property
    def up_to_date(self) -> bool:
        """Whether its tables are those of this version of the program."""
        return self.current == self.newest


def schema_state(database: Database) -> SchemaState:
    """The revision of a database against the newest one that we know."""
    with database.reading() as session:
        current = MigrationContext.configure(session.connection()).get_current_revision()
    return state_of(current)


def state_of(revision: str | None) -> SchemaState:
    """A revision against the newest one that we know."""
    scripts = ScriptDirectory.from_config(alembic_config())
    newest = scripts.get_current_head()
    if newest is None:
        raise SchemaMismatch(f"There are no migrations in {MIGRATIONS}.")
    known = revision is None or revision in {each.revision for each in scripts.walk_revisions()}
    return SchemaState(revision, newest, known)


def upgrade(database: Database, revision: str = "head") -> SchemaState:
    """Bring a database to a revision, all in one transaction; the state that it had before.

    Two processes that do it at the same time wait for each other. Raises SchemaMismatch for
    a database of a newer version of the program.
    """
    before = schema_state(database)
    if not before.known:
        raise SchemaMismatch(newer(before.current))
    try:
        with migrating(database) as connection:
            config = alembic_config()
            config.attributes["connection"] = connection
            command.upgrade(config, revision)
    except Exception as error:
        told = told_apart(error)
        if told is None or told is error:
            raise
        raise told from error
    return before


def newer(revision: str | None) -> str:
    """What to tell about a revision that this version does not know."""
    return (
        f"The database has revision {revision}, which this version of the program does not know. "
        "It was made by a newer one: install that."
    )


def differences(database: Database) -> list[str]:
    """In what the tables differ from those of this version; empty when in nothing."""
    with database.reading() as session:
        opts = {"compare_type": True, "include_name": ours}
        context = MigrationContext.configure(session.connection(), opts=opts)
        return [str(each) for each in compare_metadata(context, metadata)]


def ours(name: str | None, kind: str, parents: Mapping[str, object]) -> bool:
    """Whether a table has a model: the queue (PostgreSQL) and the text index have none."""
    if kind == "table":
        return not (name or "").startswith(("procrastinate_", "catalogue_item_words"))
    return parents.get("table_name") != "catalogue_items" or name not in _WORDS


@contextmanager
def migrating(database: Database) -> Iterator[Connection]:
    """A connection in a transaction that may change tables, as the only one that does so."""
    with database.engine.connect() as connection:
        if database.sqlite:
            # Tables are changed by making them anew; references must not follow meanwhile.
            _pragma(connection, "foreign_keys = OFF")
        with connection.begin():
            if not database.sqlite:
                connection.execute(text(f"SELECT pg_advisory_xact_lock({_LOCK})"))
            yield connection
            if database.sqlite:
                broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
                if broken:
                    raise SchemaMismatch(f"Rows refer to rows that are not there: {broken[:5]}")
        if database.sqlite:
            _pragma(connection, "foreign_keys = ON")


def _pragma(connection: Connection, pragma: str) -> None:
    # By the driver itself, since the pragma has no effect inside a transaction.
    driver = connection.connection.driver_connection
    assert driver is not None
    driver.execute(f"PRAGMA {pragma}")


def alembic_config() -> AlembicConfig:
    """Settings of Alembic for use from within the program."""
    if not (MIGRATIONS / "env.py").is_file():
        raise SchemaMismatch(f"The migrations are not there: {MIGRATIONS}.")
    config = AlembicConfig()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return config
