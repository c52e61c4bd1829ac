"""End all sign-ins of a person, in whatever organisation."""

from datetime import datetime
from uuid import UUID

from sqlalchemy import update
from sqlalchemy.orm import Session

from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.tables.organisations import LoginSessionRow


def end_sessions_of(session: Session, person_id: UUID, at: datetime) -> None:
    """End every session of a person, as after a new password."""
    session.execute(
        update(LoginSessionRow)
        .where(LoginSessionRow.person_id == person_id, LoginSessionRow.revoked_at.is_(None))
        .values(revoked_at=at)
        .execution_options(**{EVERY_ORGANISATION: True}, synchronize_session=False)
    )
