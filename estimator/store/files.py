"""Files that tasks need or make; kept in the database, for any host may run the task."""

import hashlib
from datetime import datetime
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.store.scope import Scope, add, find
from estimator.store.tables.work import StoredFileRow, TaskRow


def add_file(
    session: Session, scope: Scope, name: str, media_type: str, content: bytes
) -> StoredFileRow:
    """Keep a file; the same bytes under the same name are kept once."""
    digest = hashlib.sha256(content).hexdigest()
    there = session.scalars(
        scope.rows(StoredFileRow).where(
            StoredFileRow.digest == digest,
            StoredFileRow.name == name,
            StoredFileRow.media_type == media_type,
        )
    ).first()
    if there is not None:
        return there
    row = StoredFileRow(
        name=name,
        media_type=media_type,
        digest=digest,
        size=len(content),
        content=content,
        created_at=scope.at,
        by_person=scope.person_id,
    )
    return add(session, scope, row)


def find_file(session: Session, scope: Scope, file_id: UUID) -> StoredFileRow:
    """Raises NotFound."""
    return find(session, scope, StoredFileRow, file_id, what="file")


def remove_old_files(session: Session, scope: Scope, before: datetime) -> None:
    """Remove files that were kept before a time and that neither task nor quote refers to."""
    tasks = scope.rows(TaskRow).where(TaskRow.file_id.is_not(None))
    used = tasks.with_only_columns(TaskRow.file_id)
    session.execute(
        scope.deletes(StoredFileRow).where(
            StoredFileRow.created_at < before,
            StoredFileRow.id.not_in(used),
            # What was sent to a customer stays as long as its quote.
            StoredFileRow.name.not_like("quotes/%"),
        )
    )
