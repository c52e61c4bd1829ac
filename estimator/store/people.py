"""People and their roles in an organisation.

People belong to no organisation, so looking one up by address needs no scope; everything else
does. Passwords come in hashed already.
"""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.store.audit import note
from estimator.store.errors import Conflict, NotFound
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.scope import Scope, add, find, find_to_change, flush, keep
from estimator.store.tables.organisations import (
    MembershipRow,
    PersonRow,
    Role,
)

_LAST_OWNER = "An organisation needs an owner; make somebody else one first."


def email_key(email: str) -> str:
    """The address as it is compared: without regard to letter case and space around it."""
    return email.strip().casefold()


def person_by_email(session: Session, email: str) -> PersonRow | None:
    """Whoever has this address; None for nobody."""
    return session.scalars(
        select(PersonRow).where(PersonRow.email_key == email_key(email))
    ).one_or_none()


def add_person(
    session: Session, email: str, name: str, password_hash: str | None, at: datetime
) -> PersonRow:
    """A new person without any role. Raises Conflict for an address that is known."""
    row = PersonRow(
        email=email.strip(),
        email_key=email_key(email),
        name=name,
        password_hash=password_hash,
        created_at=at,
        changed_at=at,
    )
    session.add(row)
    flush(session, "Somebody with this address has an account already.")
    return row


def find_person(session: Session, person_id: UUID) -> PersonRow:
    """Raises NotFound."""
    row = session.get(PersonRow, person_id)
    if row is None:
        raise NotFound("person", person_id)
    return row


def memberships_of(session: Session, person_id: UUID) -> Sequence[MembershipRow]:
    """In which organisations somebody is, and as what; the first one first."""
    return session.scalars(
        select(MembershipRow)
        .where(MembershipRow.person_id == person_id)
        .order_by(MembershipRow.organisation_id)
        .execution_options(**{EVERY_ORGANISATION: True})
    ).all()


def find_membership(session: Session, scope: Scope, person_id: UUID) -> MembershipRow:
    """Somebody's role in the organisation. Raises NotFound."""
    return find(session, scope, MembershipRow, person_id, what="person")


def add_membership(session: Session, scope: Scope, person_id: UUID, role: Role) -> MembershipRow:
    """Give somebody a role. Raises Conflict for one who is in the organisation already."""
    row = MembershipRow(person_id=person_id, role=role)
    add(session, scope, row, taken="This person is in the organisation already.")
    note(session, scope, "joined", "person", person_id, role=role)
    return row


def change_role(
    session: Session, scope: Scope, person_id: UUID, role: Role, version: int | None
) -> MembershipRow:
    """Give somebody another role. Raises NotFound, StaleVersion; Conflict for the last owner."""
    row = find_to_change(session, scope, MembershipRow, person_id, what="person", version=version)
    if role != "owner":
        check_owners(session, scope, row)
    row.role = role
    keep(session, scope, row)
    note(session, scope, "role changed", "person", person_id, role=role)
    return row


def remove_membership(session: Session, scope: Scope, person_id: UUID, version: int | None) -> None:
    """Take somebody out of the organisation; their sessions and tokens end at once.

    Raises NotFound, StaleVersion; Conflict for the last owner.
    """
    row = find_to_change(session, scope, MembershipRow, person_id, what="person", version=version)
    check_owners(session, scope, row)
    session.delete(row)
    flush(session)
    note(session, scope, "left", "person", person_id)


def check_owners(session: Session, scope: Scope, leaving: MembershipRow) -> None:
    """Raises Conflict if nobody else is an owner who can sign in."""
    owners = session.scalars(
        # Locked with their people, so that two owners cannot leave at the same time.
        scope.rows(MembershipRow)
        .join(PersonRow, PersonRow.id == MembershipRow.person_id)
        .where(MembershipRow.role == "owner", PersonRow.disabled_at.is_(None))
        .with_for_update()
    ).all()
    if [each.person_id for each in owners] == [leaving.person_id]:
        raise Conflict(_LAST_OWNER)
