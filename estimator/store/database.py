"""Open a database and run transactions in it; the only place that knows which database it is."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.engine import URL
from sqlalchemy.exc import ArgumentError
from sqlalchemy.orm import Session

from estimator.finding import Fault, InputRefused
from estimator.store.errors import (
    DatabaseUnavailable,
    OutcomeUnknown,
    ReadingOnly,
    told_apart,
    writes_in_vain,
)
from estimator.store.guard import guard_session

_READING = "estimator_reading"
_BACKENDS = {"sqlite": "sqlite+pysqlite", "postgresql": "postgresql+psycopg"}


@dataclass(frozen=True, slots=True)
class Database:
    """An open database. Make one a process, after any fork; ``close`` it at the end."""

    engine: Engine

    @property
    def sqlite(self) -> bool:
        """Whether it is one file of SQLite."""
        return self.engine.dialect.name == "sqlite"

    @property
    def file(self) -> Path | None:
        """The file of SQLite; None for PostgreSQL."""
        return Path(self.engine.url.database or "") if self.sqlite else None

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that can only read. Errors of the database come out as StoreError."""
        with _session(self.engine.execution_options(**_read_only(self.engine))) as session:
            try:
                yield session
            except Exception as error:
                if writes_in_vain(error):
                    raise ReadingOnly("This session is read-only; open one for writing.") from error
                raise

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session whose changes are kept together at the end, or not at all.

        Errors of the database come out as StoreError. SQLite has one writer at a time; others
        wait for it as long as ``busy_ms`` says.
        """
        ending = False
        try:
            with _session(self.engine) as session:
                yield session
                session.flush()
                ending = True
        except DatabaseUnavailable as error:
            # A connection that breaks while the end is written down leaves both open.
            if ending:
                raise OutcomeUnknown from error
            raise

    def check_connection(self) -> None:
        """Ask the database for a sign of life. Raises DatabaseUnavailable."""
        with self.reading() as session:
            session.execute(text("SELECT 1"))

    def close(self) -> None:
        """Give up all connections."""
        self.engine.dispose()


def open_database(url: str, *, busy_ms: int = 30_000, pool_size: int = 5) -> Database:
    """The database of a URL: ``sqlite:///path/to/file`` or ``postgresql://user@host/name``.

    The folder of a SQLite file is made; the tables are not (``migrate.upgrade``). Raises
    InputRefused for a URL that cannot be used. Connects only when it is used.
    """
    parsed = read_url(url)
    if parsed.get_backend_name() == "sqlite":
        Path(parsed.database or "").parent.mkdir(parents=True, exist_ok=True)
        engine = create_engine(parsed, pool_size=pool_size, hide_parameters=True)
        _set_up_sqlite(engine, busy_ms)
    else:
        engine = create_engine(
            parsed,
            pool_size=pool_size,
            pool_timeout=busy_ms / 1000,
            pool_pre_ping=True,
            connect_args={"connect_timeout": 5},
            hide_parameters=True,
        )
    return Database(engine)


def read_url(url: str) -> URL:
    """A URL with the driver that we use. Raises InputRefused, without any password in it."""
    try:
        parsed = make_url(url)
        backend = parsed.get_backend_name()
    except ArgumentError:
        backend = ""
    if backend not in _BACKENDS:
        raise _refused(
            "is not the URL of a database; write sqlite:///FILE or postgresql://HOST/NAME"
        )
    if backend == "sqlite" and parsed.database in (None, "", ":memory:"):
        raise _refused("names no file; write sqlite:///FILE")
    return parsed.set(drivername=_BACKENDS[backend])


def _refused(message: str) -> InputRefused:
    return InputRefused("settings", (Fault("ESTIMATOR_DATABASE_URL", message),))


@contextmanager
def _session(bind: Engine) -> Iterator[Session]:
    # Rows stay readable after the end: they have no lazy parts.
    try:
        with Session(bind, expire_on_commit=False) as session, session.begin():
            guard_session(session)
            yield session
    except Exception as error:
        told = told_apart(error)
        if told is None or told is error:
            raise
        raise told from error


def _read_only(engine: Engine) -> dict[str, Any]:
    if engine.dialect.name == "sqlite":
        return {_READING: True}
    return {"postgresql_readonly": True, "isolation_level": "REPEATABLE READ"}


def _set_up_sqlite(engine: Engine, busy_ms: int) -> None:
    @event.listens_for(engine, "connect")
    def connected(connection: Any, _record: object) -> None:
        # The driver must not begin transactions by itself: we say when and of which kind.
        connection.isolation_level = None
        for pragma in (
            f"busy_timeout = {int(busy_ms)}",
            "journal_mode = WAL",
            "synchronous = NORMAL",
            "foreign_keys = ON",
            "temp_store = MEMORY",
        ):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        reading = connection.get_execution_options().get(_READING, False)
        # Who is going to write takes the lock at once: two readers that both become writers
        # would otherwise shut each other out.
        connection.exec_driver_sql(f"PRAGMA query_only = {'ON' if reading else 'OFF'}")
        connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")
