"""The audit trail: written by whatever changes something, in the same transaction."""

from sqlalchemy.orm import Session

from estimator.store.scope import Scope
from estimator.store.tables.work import AuditEntryRow


def note(
    session: Session, scope: Scope, action: str, subject: str, subject_id: object, **details: object
) -> None:
    """Keep that somebody did something. action: such as "sent". details: JSON-ready, no secrets."""
    session.add(
        AuditEntryRow(
            organisation_id=scope.organisation_id,
            at=scope.at,
            by_person=scope.person_id,
            by_name=scope.person_name,
            action=action,
            subject=subject,
            subject_id=str(subject_id),
            details=details,
        )
    )
