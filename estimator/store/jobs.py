"""Jobs: every save is a new version of the description, and none is ever lost."""

import hashlib
import json
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.store.audit import note
from estimator.store.scope import Scope, add, find, find_to_change, keep, remove
from estimator.store.tables.jobs import CustomerRow, JobRow, JobVersionRow


def add_job(
    session: Session,
    scope: Scope,
    name: str,
    document: Mapping[str, Any],
    *,
    customer_id: UUID | None = None,
    template: bool = False,
    why: str = "",
) -> JobRow:
    """A new job with its first version. document: the description as plain objects.

    Raises NotFound for a customer who is not there.
    """
    if customer_id is not None:
        find(session, scope, CustomerRow, customer_id, what="customer")
    row = JobRow(name=name, customer_id=customer_id, template=template, newest=1)
    add(session, scope, row)
    _add_version(session, scope, row, document, why)
    note(session, scope, "added", "job", row.id)
    return row


def find_job(session: Session, scope: Scope, job_id: UUID) -> JobRow:
    """Raises NotFound."""
    return find(session, scope, JobRow, job_id, what="job")


def save_job(
    session: Session,
    scope: Scope,
    job_id: UUID,
    document: Mapping[str, Any],
    version: int | None,
    why: str = "",
) -> JobRow:
    """Save the description as the job's next version; the same description changes nothing.

    version: of the row as the writer saw it, so that of two writers the second is refused.
    Raises NotFound, StaleVersion.
    """
    row = find_to_change(session, scope, JobRow, job_id, what="job", version=version)
    newest = find_job_version(session, scope, job_id, row.newest)
    if newest.digest == document_digest(json_text(document)):
        return row
    row.newest += 1
    keep(session, scope, row)
    _add_version(session, scope, row, document, why)
    note(session, scope, "saved", "job", row.id, number=row.newest)
    return row


def change_job(
    session: Session,
    scope: Scope,
    job_id: UUID,
    version: int | None,
    *,
    name: str,
    customer_id: UUID | None,
    template: bool,
    archived: bool,
) -> JobRow:
    """Change what stands around the description. Raises NotFound, StaleVersion."""
    row = find_to_change(session, scope, JobRow, job_id, what="job", version=version)
    if customer_id is not None:
        find(session, scope, CustomerRow, customer_id, what="customer")
    row.name, row.customer_id, row.template = name, customer_id, template
    row.archived_at = (row.archived_at or scope.at) if archived else None
    keep(session, scope, row)
    note(session, scope, "changed", "job", row.id)
    return row


def remove_job(session: Session, scope: Scope, job_id: UUID, version: int | None) -> None:
    """Remove a job with its versions. Raises Conflict where quotes were made from it."""
    row = find_to_change(session, scope, JobRow, job_id, what="job", version=version)
    remove(session, scope, row, used="Quotes were made from the job; archive it instead.")
    note(session, scope, "removed", "job", job_id)


def find_job_version(session: Session, scope: Scope, job_id: UUID, number: int) -> JobVersionRow:
    """One version. Raises NotFound."""
    return find(session, scope, JobVersionRow, job_id, number, what="version of the job")


def job_document(row: JobVersionRow) -> dict[str, Any]:
    """The description as plain objects."""
    document: dict[str, Any] = json.loads(row.document)
    return document


def json_text(document: Mapping[str, Any]) -> str:
    """JSON text that is the same for the same objects in the same order."""
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def document_digest(text: str) -> str:
    """SHA-256 of a text in UTF-8."""
    return hashlib.sha256(text.encode()).hexdigest()


def _add_version(
    session: Session, scope: Scope, row: JobRow, document: Mapping[str, Any], why: str
) -> None:
    text = json_text(document)
    add(
        session,
        scope,
        JobVersionRow(
            job_id=row.id,
            number=row.newest,
            document=text,
            digest=document_digest(text),
            note=why,
            created_at=scope.at,
            by_person=scope.person_id,
        ),
    )
