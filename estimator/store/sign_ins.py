"""What concerns a person in whatever organisation: the password, all sign-ins, being shut out."""

from datetime import datetime
from uuid import UUID

from sqlalchemy import update
from sqlalchemy.orm import Session

from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.scope import flush
from estimator.store.tables.organisations import LoginSessionRow, PersonRow


def end_sessions_of(session: Session, person_id: UUID, at: datetime) -> None:
    """End every session of a person, as after a new password."""
    session.execute(
        update(LoginSessionRow)
        .where(LoginSessionRow.person_id == person_id, LoginSessionRow.revoked_at.is_(None))
        .values(revoked_at=at)
        .execution_options(**{EVERY_ORGANISATION: True}, synchronize_session=False)
    )


def keep_password(session: Session, person: PersonRow, password_hash: str, at: datetime) -> None:
    """Keep the hash of a new password; ends every session."""
    person.password_hash, person.changed_at = password_hash, at
    flush(session)
    end_sessions_of(session, person.id, at)


def keep_disabled(session: Session, person: PersonRow, at: datetime, *, disabled: bool) -> None:
    """Shut a person out, by session and by token, or let them in again."""
    person.disabled_at = (person.disabled_at or at) if disabled else None
    person.changed_at = at
    flush(session)
    if disabled:
        end_sessions_of(session, person.id, at)
