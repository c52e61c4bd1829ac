"""All rows of an organisation as lines of JSON in an archive, without anything secret."""

import json
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from sqlalchemy import Table, select
from sqlalchemy.orm import Session

from estimator.store.scope import Scope
from estimator.store.tables.base import Base, OwnedRow
from estimator.store.tables.organisations import MembershipRow, OrganisationRow, PersonRow
from estimator.store.tables.work import StoredFileRow

# What only the running service needs; hashes of secrets are nobody's business.
_LEFT_OUT_TABLES = frozenset({"login_sessions", "idempotency_keys", "stored_files"})
_SECRET_COLUMNS = frozenset({"token_hash", "csrf_hash", "password_hash"})
_AT_ONCE = 1_000
_EXPORTS = "application/zip"
_ABOUT = """Everything kept of one organisation.

One file a table, one row a line, as JSON. Times are in UTC, money and quantities exact decimals
as text. Each revision of a quote is whole in quote_revisions.jsonl: its column snapshot is the JSON
text as it was made, and snapshot_digest the SHA-256 of that text. files/ has the price lists as
they were sent. Passwords, sign-ins and the secrets of tokens and links are not in here.
"""
Progress = Callable[[int], None]


def write_export(session: Session, scope: Scope, progress: Progress) -> bytes:
    """The bytes of the archive. progress: told now and then how many rows are written."""
    with tempfile.TemporaryFile() as room:
        with zipfile.ZipFile(room, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr("about.txt", _ABOUT)
            _write(archive, "organisation", _organisation(session, scope), progress)
            _write(archive, "people", _people(session, scope), progress)
            for table in _tables():
                _write(archive, table.name, _rows(session, scope, table), progress)
            for file in _files(session, scope):
                safe = "".join(each if each.isalnum() or each in "._-" else "_"
                               for each in file.name)  # fmt: skip
                archive.writestr(f"files/{file.id}_{safe[-100:]}", file.content)
        room.seek(0)
        return room.read()


def _tables() -> list[Table]:
    owned = {
        each.class_.__tablename__
        for each in Base.registry.mappers
        if issubclass(each.class_, OwnedRow)
    }
    return [
        each
        for each in Base.metadata.sorted_tables
        if each.name in owned and each.name not in _LEFT_OUT_TABLES
    ]


def _write(
    archive: zipfile.ZipFile, name: str, rows: Iterator[dict[str, Any]], progress: Progress
) -> None:
    with archive.open(f"{name}.jsonl", "w", force_zip64=True) as file:
        for number, row in enumerate(rows, 1):
            file.write(json.dumps(row, ensure_ascii=False, default=_plain).encode() + b"\n")
            if not number % _AT_ONCE:
                progress(number)


def _rows(session: Session, scope: Scope, table: Table) -> Iterator[dict[str, Any]]:
    columns = [each for each in table.columns if each.name not in _SECRET_COLUMNS]
    statement = (
        select(*columns)
        .where(table.columns.organisation_id == scope.organisation_id)
        .order_by(*table.primary_key.columns)
        .execution_options(yield_per=_AT_ONCE)
    )
    for row in session.execute(statement):
        yield dict(row._mapping)


def _organisation(session: Session, scope: Scope) -> Iterator[dict[str, Any]]:
    row = session.get_one(OrganisationRow, scope.organisation_id)
    yield {"id": row.id, "name": row.name, "settings": row.settings, "created_at": row.created_at}


def _people(session: Session, scope: Scope) -> Iterator[dict[str, Any]]:
    found = session.execute(
        scope.rows(MembershipRow)
        .join(PersonRow, PersonRow.id == MembershipRow.person_id)
        .add_columns(PersonRow)
        .order_by(PersonRow.id)
    )
    for row, person in found:
        yield {"id": person.id, "email": person.email, "name": person.name, "role": row.role}


def _files(session: Session, scope: Scope) -> Iterator[StoredFileRow]:
    ids = session.scalars(
        scope.rows(StoredFileRow)
        .where(StoredFileRow.media_type != _EXPORTS)
        .with_only_columns(StoredFileRow.id)
        .order_by(StoredFileRow.id)
    ).all()
    for each in ids:  # one at a time: each may be large
        yield session.get_one(
            StoredFileRow, (scope.organisation_id, each), execution_options=scope.options
        )
        session.expunge_all()


def _plain(value: object) -> str:
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, Decimal | UUID):
        return str(value)
    if isinstance(value, bytes):
        return value.hex()
    raise TypeError(f"{type(value).__name__} has no text for an export")
