"""Labour tables, rate sheets and credit programmes of an organisation, version by version."""

from collections.abc import Callable
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.quotes.records import Used
from estimator.store.audit import note
from estimator.store.errors import NotFound
from estimator.store.jobs import document_digest
from estimator.store.scope import Scope, add, find, find_to_change, keep
from estimator.store.tables.own_documents import (
    DocumentKind,
    OwnDocumentRow,
    OwnDocumentVersionRow,
)

Check = Callable[[str], object]


def add_own_document(
    session: Session, scope: Scope, kind: DocumentKind, name: str, content: str, check: Check
) -> OwnDocumentRow:
    """A new document with its first version.

    content: CSV of a labour table, JSON of a rate sheet, TOML of a programme. check: reads the
    content and raises InputRefused when it cannot be used. Raises Conflict for a name taken.
    """
    check(content)
    row = OwnDocumentRow(kind=kind, name=name.strip(), name_key=name.strip().casefold(), newest=1)
    taken = f"There is a {kind.replace('_', ' ')} {name.strip()!r} already."
    add(session, scope, row, taken=taken)
    _add_version(session, scope, row, content)
    note(session, scope, "added", kind, row.id)
    return row


def find_own_document(
    session: Session, scope: Scope, kind: DocumentKind, key: UUID
) -> OwnDocumentRow:
    """A document of a kind. Raises NotFound."""
    row = find(session, scope, OwnDocumentRow, key, what=kind.replace("_", " "))
    return _of_kind(row, kind)


def save_own_document(
    session: Session,
    scope: Scope,
    kind: DocumentKind,
    key: UUID,
    content: str,
    check: Check,
    version: int | None,
) -> OwnDocumentRow:
    """Save the content as the next version; the same content changes nothing.

    Raises what check raises, NotFound, StaleVersion.
    """
    check(content)
    what = kind.replace("_", " ")
    row = _of_kind(
        find_to_change(session, scope, OwnDocumentRow, key, what=what, version=version), kind
    )
    newest = find_own_version(session, scope, key, row.newest)
    if newest.digest == document_digest(content):
        return row
    row.newest += 1
    keep(session, scope, row)
    _add_version(session, scope, row, content)
    note(session, scope, "saved", kind, row.id, number=row.newest)
    return row


def find_own_version(
    session: Session, scope: Scope, key: UUID, number: int
) -> OwnDocumentVersionRow:
    """One version of a document. Raises NotFound."""
    return find(session, scope, OwnDocumentVersionRow, key, number, what="version")


def used_version(session: Session, scope: Scope, row: OwnDocumentRow) -> Used:
    """The newest version of a document, as the basis of a revision names it."""
    newest = find_own_version(session, scope, row.id, row.newest)
    return Used(str(row.id), row.name, row.newest, newest.digest)


def _of_kind(row: OwnDocumentRow, kind: DocumentKind) -> OwnDocumentRow:
    if row.kind != kind:
        raise NotFound(kind.replace("_", " "), row.id)
    return row


def _add_version(session: Session, scope: Scope, row: OwnDocumentRow, content: str) -> None:
    add(
        session,
        scope,
        OwnDocumentVersionRow(
            document_id=row.id,
            number=row.newest,
            content=content,
            digest=document_digest(content),
            created_at=scope.at,
            by_person=scope.person_id,
        ),
    )
