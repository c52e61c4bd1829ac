"""Remove what is long past, of all organisations."""

from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.tables.organisations import InvitationRow, LoginSessionRow
from estimator.store.tables.work import StoredFileRow, TaskRow

_EVERY = {EVERY_ORGANISATION: True}


def forget_old_tasks(session: Session, before: datetime) -> None:
    """Remove tasks that ended before a time, and files as old that no task has."""
    session.execute(
        delete(TaskRow)
        .where(TaskRow.finished_at < before)
        .execution_options(**_EVERY, synchronize_session=False)
    )
    used = select(TaskRow.file_id).where(TaskRow.file_id.is_not(None))
    session.execute(
        delete(StoredFileRow)
        .where(StoredFileRow.created_at < before, StoredFileRow.id.not_in(used))
        .execution_options(**_EVERY, synchronize_session=False)
    )


def forget_old_ways_in(session: Session, before: datetime) -> None:
    """Remove sign-ins and invitations that were over before a time."""
    for table in (LoginSessionRow, InvitationRow):
        session.execute(
            delete(table)
            .where(table.expires_at < before)
            .execution_options(**_EVERY, synchronize_session=False)
        )
