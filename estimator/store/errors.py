"""What can go wrong with stored things, and how errors of the drivers are told apart."""

import sqlite3
from uuid import UUID

import psycopg
from sqlalchemy import exc
from sqlalchemy.orm.exc import StaleDataError

RETRY_SECONDS = 5


class StoreError(Exception):
    """Something that the store could not do; the message may be shown to the user."""


class NotFound(StoreError):
    """There is no such row in this organisation; whether another has it is not told."""

    def __init__(self, what: str, key: object) -> None:
        super().__init__(f"There is no {what} {key}.")
        self.what, self.key = what, key


class StaleVersion(StoreError):
    """Somebody changed the row since it was read. current: its version now, where known."""

    def __init__(self, what: str, key: UUID | object, current: int | None = None) -> None:
        super().__init__(f"The {what} was changed by somebody else. Read it again, then change it.")
        self.what, self.key, self.current = what, key, current


class Conflict(StoreError):
    """The change contradicts what is stored: a name taken, a row that others refer to."""


class NoLongerValid(StoreError):
    """A token, link, invitation or session is unknown, expired or revoked; which is not told."""


class Immutable(StoreError):
    """Something that never changes was about to be changed: a bug of ours."""


class ReadingOnly(StoreError):
    """Something was about to be written in a session that only reads: a bug of ours."""


class UnscopedQuery(StoreError):
    """A query of an organisation's rows that does not say of which one: a bug of ours."""


class DatabaseUnavailable(StoreError):
    """The database cannot be reached or is too busy. retry_after_s: when to try again."""

    def __init__(self, message: str, retry_after_s: int = RETRY_SECONDS) -> None:
        super().__init__(message)
        self.retry_after_s = retry_after_s


class OutcomeUnknown(DatabaseUnavailable):
    """The connection broke while a change was being kept: it may be there, or not."""

    def __init__(self) -> None:
        super().__init__(
            "The database went away while the change was being kept. Look whether it is there "
            "before you try again; a request with an Idempotency-Key can be sent again as it is."
        )


class StorageFull(StoreError):
    """There is no room left; nothing of the change was kept."""


class DatabaseDamaged(StoreError):
    """The file is not a database, or a part of it cannot be read."""


class SchemaMismatch(StoreError):
    """The database was made by another version of the program."""


# SQLSTATE classes and codes of PostgreSQL (Appendix A of its manual).
_GONE_CLASSES = ("08", "57P")
_BUSY_CODES = ("53300", "55P03", "40001", "40P01", "57014")
# A server that took over from another, or is about to, may only be read for a while.
_READ_ONLY_CODES = ("25006",)
_FULL_CODES = ("53100",)
_NO_SCHEMA_CODES = ("42P01", "42703", "3D000")
_GONE = "The database cannot be reached. Nothing was changed; try again in a moment."
_BUSY = "The database is busy. Nothing was changed; try again in a moment."
_FULL = "There is no room left where the database is kept. Nothing was changed; make room first."
_OLD = "The database has not the tables of this version. Run: estimator db upgrade"
_CONTRADICTS = "The change contradicts what is stored; read it again, then change it."
_DAMAGED = "The database cannot be read. Run: estimator db check, then restore a backup."


def told_apart(error: Exception) -> StoreError | None:
    """The error of ours that one of the database stands for; None for one that is a bug."""
    if isinstance(error, StoreError):
        return error
    if isinstance(error, StaleDataError):
        return StaleVersion("row", "")
    if isinstance(error, exc.TimeoutError):
        return DatabaseUnavailable(_BUSY)
    if isinstance(error, exc.IntegrityError):
        return Conflict(_CONTRADICTS)
    # The bulk load uses the driver itself, whose errors come as they are.
    if isinstance(error, sqlite3.Error):
        return _sqlite(error)
    if isinstance(error, psycopg.Error):
        return _postgresql(error, invalidated=False)
    if not isinstance(error, exc.DBAPIError) or error.orig is None:
        return None
    if isinstance(error.orig, sqlite3.Error):
        return _sqlite(error.orig)
    return _postgresql(error.orig, invalidated=error.connection_invalidated)


def writes_in_vain(error: Exception) -> bool:
    """Whether the database refused a change because it may only be read."""
    cause = error.orig if isinstance(error, exc.DBAPIError) else error
    if isinstance(cause, sqlite3.Error):
        return getattr(cause, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_READONLY
    return getattr(cause, "sqlstate", None) in _READ_ONLY_CODES


def _sqlite(error: sqlite3.Error) -> StoreError | None:
    # The low byte is the primary code, the rest tells variants of it.
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_FULL:
        return StorageFull(_FULL)
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return DatabaseUnavailable(_BUSY)
    if code in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_READONLY):
        return DatabaseUnavailable(_GONE)
    if code == sqlite3.SQLITE_CONSTRAINT:
        return Conflict(_CONTRADICTS)
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return DatabaseDamaged(_DAMAGED)
    text = str(error)
    if code == sqlite3.SQLITE_ERROR and ("no such table" in text or "no such column" in text):
        return SchemaMismatch(_OLD)
    return None


def _postgresql(error: BaseException, *, invalidated: bool) -> StoreError | None:
    state = getattr(error, "sqlstate", None) or ""
    if state.startswith("23"):
        return Conflict(_CONTRADICTS)
    if state in _FULL_CODES:
        return StorageFull(_FULL)
    if state in _BUSY_CODES or state in _READ_ONLY_CODES:
        return DatabaseUnavailable(_BUSY)
    if state in _NO_SCHEMA_CODES:
        return SchemaMismatch(_OLD)
    lost = invalidated or state.startswith(_GONE_CLASSES)
    # A connection that could not be made, or broke in the middle, has no SQLSTATE.
    if lost or (not state and isinstance(error, psycopg.OperationalError)):
        return DatabaseUnavailable(_GONE)
    return None
