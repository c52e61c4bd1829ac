"""The one door to an organisation's rows.

A Scope says for whom, by whom and when something is done. Every function of the store that
touches rows of an organisation takes one, and every query begins with ``scope.rows`` or one of
the functions below, so that no query can forget the organisation (``guard`` refuses it then).
"""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import Delete, Select, Update, delete, select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session
from sqlalchemy.orm.exc import StaleDataError

from estimator.store.errors import Conflict, NotFound, StaleVersion
from estimator.store.guard import ORGANISATION
from estimator.store.tables.base import OwnedRow, Versioned

Row = TypeVar("Row", bound=OwnedRow)


@dataclass(frozen=True, slots=True)
class Scope:
    """For which organisation, by whom (None: the program itself) and when, in UTC."""

    organisation_id: int
    at: datetime
    person_id: UUID | None = None
    person_name: str = ""

    @property
    def today(self) -> date:
        """The day where the program runs."""
        return self.at.astimezone().date()

    @property
    def options(self) -> dict[str, Any]:
        """What marks a statement as one of this organisation."""
        return {ORGANISATION: self.organisation_id}

    def rows(self, table: type[Row]) -> Select[Row]:
        """The organisation's rows of a table, to be narrowed down."""
        return (
            select(table)
            .where(table.organisation_id == self.organisation_id)
            .execution_options(**self.options)
        )

    def updates(self, table: type[OwnedRow]) -> Update:
        """A change of the organisation's rows of a table, to be narrowed down."""
        return (
            update(table)
            .where(table.organisation_id == self.organisation_id)
            .execution_options(**self.options)
        )

    def deletes(self, table: type[OwnedRow]) -> Delete:
        """A removal of the organisation's rows of a table, to be narrowed down."""
        return (
            delete(table)
            .where(table.organisation_id == self.organisation_id)
            .execution_options(**self.options)
        )


def find(session: Session, scope: Scope, table: type[Row], *key: object, what: str) -> Row:
    """The row of a key (without the organisation). Raises NotFound."""
    row = session.get(table, (scope.organisation_id, *key), execution_options=scope.options)
    if row is None:
        raise NotFound(what, ", ".join(str(each) for each in key))
    return row


def find_to_change(
    session: Session, scope: Scope, table: type[Row], *key: object, what: str, version: int | None
) -> Row:
    """The row of a key, whose version must be the one that the caller has seen.

    version: None where the caller changes it whatever it is. Raises NotFound, StaleVersion.
    """
    row = find(session, scope, table, *key, what=what)
    if isinstance(row, Versioned) and version is not None and row.version != version:
        raise StaleVersion(what, key, row.version)
    return row


def add(session: Session, scope: Scope, row: Row, *, taken: str = "") -> Row:
    """Add a row to the organisation. taken: message of the Conflict for a key that exists."""
    row.organisation_id = scope.organisation_id
    if isinstance(row, Versioned):
        row.created_at = row.changed_at = scope.at
    session.add(row)
    flush(session, taken)
    return row


def keep(session: Session, scope: Scope, row: Versioned, *, taken: str = "") -> None:
    """Write the changes of a row. Raises Conflict with the message, StaleVersion."""
    row.changed_at = scope.at
    flush(session, taken)


def remove(session: Session, scope: Scope, row: Row, *, used: str) -> None:
    """Remove a row. used: message of the Conflict where others refer to it."""
    session.delete(row)
    flush(session, used)


def flush(session: Session, conflict: str = "") -> None:
    """Write what was changed so far. Raises Conflict with the message, StaleVersion."""
    try:
        session.flush()
    except IntegrityError as error:
        raise Conflict(conflict or "The change contradicts what is stored.") from error
    except StaleDataError as error:
        raise StaleVersion("row", "") from error
