"""All organisations with their people, for whoever looks after the service."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.scope import Scope
from estimator.store.tables.organisations import (
    AccessTokenRow,
    MembershipRow,
    OrganisationRow,
    PersonRow,
    Role,
)


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody in an organisation. version: of the role."""

    id: UUID
    email: str
    name: str
    role: Role
    disabled: bool
    version: int


@dataclass(frozen=True, slots=True)
class Office:
    """An organisation with its people, by address."""

    organisation_id: int
    organisation: str
    people: tuple[Member, ...]


@dataclass(frozen=True, slots=True)
class TokenShown:
    """A token without its secret, with the address of its person."""

    id: UUID
    person_id: UUID
    email: str
    name: str
    role: Role
    created_at: datetime
    expires_at: datetime
    used_at: datetime | None
    revoked_at: datetime | None


def organisations_called(session: Session, asked: str) -> list[OrganisationRow]:
    """The organisations of a name or number; all of them for an empty one."""
    every = session.scalars(select(OrganisationRow).order_by(OrganisationRow.id)).all()
    return [
        each
        for each in every
        if not asked or asked == str(each.id) or asked.casefold() == each.name.casefold()
    ]


def everybody(session: Session) -> tuple[Office, ...]:
    """All organisations with their people."""
    members: dict[int, list[Member]] = {}
    for row, person in session.execute(
        select(MembershipRow, PersonRow)
        .join(PersonRow, PersonRow.id == MembershipRow.person_id)
        .order_by(PersonRow.email_key)
        .execution_options(**{EVERY_ORGANISATION: True})
    ):
        members.setdefault(row.organisation_id, []).append(_member(row, person))
    return tuple(
        Office(each.id, each.name, tuple(members.get(each.id, ())))
        for each in organisations_called(session, "")
    )


def members_of(session: Session, scope: Scope) -> tuple[Member, ...]:
    """The people of an organisation, by address."""
    found = session.execute(
        scope.rows(MembershipRow)
        .join(PersonRow, PersonRow.id == MembershipRow.person_id)
        .add_columns(PersonRow)
        .order_by(PersonRow.email_key)
    ).all()
    return tuple(_member(row, person) for row, person in found)


def tokens_of(
    session: Session, scope: Scope, person_id: UUID | None = None
) -> Sequence[TokenShown]:
    """The tokens of an organisation, or of one person in it; the oldest first."""
    wanted = scope.rows(AccessTokenRow).order_by(AccessTokenRow.id)
    if person_id is not None:
        wanted = wanted.where(AccessTokenRow.person_id == person_id)
    found = session.execute(
        wanted.join(PersonRow, PersonRow.id == AccessTokenRow.person_id).add_columns(
            PersonRow.email
        )
    ).all()
    return [
        TokenShown(
            row.id, row.person_id, email, row.name, row.role, row.created_at, row.expires_at,
            row.used_at, row.revoked_at,
        )
        for row, email in found
    ]  # fmt: skip


def _member(row: MembershipRow, person: PersonRow) -> Member:
    disabled = person.disabled_at is not None
    return Member(person.id, person.email, person.name, row.role, disabled, row.version)
