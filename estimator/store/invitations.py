"""Invitations to join an organisation."""

from datetime import datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.store.audit import note
from estimator.store.errors import NoLongerValid
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.people import add_membership, email_key
from estimator.store.scope import Scope, add, find, flush
from estimator.store.secrets import Secret, new_secret, secret_hash
from estimator.store.tables.organisations import InvitationRow, PersonRow, Role


def invite(
    session: Session, scope: Scope, email: str, role: Role, expires_at: datetime
) -> tuple[InvitationRow, Secret]:
    """An invitation and its secret, which cannot be had again."""
    secret = new_secret("i_")
    row = InvitationRow(
        email=email.strip(),
        email_key=email_key(email),
        role=role,
        token_hash=secret.hash,
        created_at=scope.at,
        by_person=scope.person_id,
        expires_at=expires_at,
    )
    add(session, scope, row)
    note(session, scope, "invited", "invitation", row.id, role=role)
    return row, secret


def open_invitation(session: Session, text: str, at: datetime) -> InvitationRow:
    """The invitation of a secret. Raises NoLongerValid, whatever is wrong with it."""
    row = session.scalars(
        select(InvitationRow)
        .where(InvitationRow.token_hash == secret_hash(text))
        .execution_options(**{EVERY_ORGANISATION: True})
    ).one_or_none()
    spent = row is None or row.accepted_at or row.revoked_at or row.expires_at <= at
    if row is None or spent:
        raise NoLongerValid("This invitation is not valid, or no longer so. Ask for a new one.")
    return row


def accept_invitation(
    session: Session, row: InvitationRow, person: PersonRow, at: datetime
) -> Scope:
    """Let the invited person in; for whom they act from now on.

    Raises NoLongerValid for a person with another address; Conflict for a member.
    """
    if row.email_key != person.email_key:
        raise NoLongerValid("This invitation is for another address.")
    row.accepted_at = at
    scope = Scope(row.organisation_id, at, person.id, person.name)
    add_membership(session, scope, person.id, row.role)
    return scope


def revoke_invitation(session: Session, scope: Scope, invitation_id: UUID) -> InvitationRow:
    """Make an invitation useless. Raises NotFound."""
    row = find(session, scope, InvitationRow, invitation_id, what="invitation")
    row.revoked_at = row.revoked_at or scope.at
    flush(session)
    note(session, scope, "revoked", "invitation", row.id)
    return row
