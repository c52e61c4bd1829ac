"""Organisations, their people, and the ways in: sessions, tokens, invitations."""

from datetime import datetime
from typing import Literal
from uuid import UUID

from sqlalchemy import ForeignKey, Index, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.store.tables.base import (
    Base,
    Json,
    NamedRow,
    OwnedRow,
    Versioned,
    new_id,
    one_of,
    refers,
)

Role = Literal["owner", "estimator", "reader"]


class OrganisationRow(Versioned, Base):
    """An office, or one person by themselves. settings: letterhead and the like."""

    __tablename__ = "organisations"

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    settings: Mapped[Json] = mapped_column(default=dict)


class PersonRow(Versioned, Base):
    """Somebody who can log in. email_key: the address without regard to letter case.

    A person may be in several organisations, so the row belongs to none.
    """

    __tablename__ = "people"
    __table_args__ = (UniqueConstraint("email_key"),)

    id: Mapped[UUID] = mapped_column(primary_key=True, default=new_id)
    email: Mapped[str]
    email_key: Mapped[str]
    name: Mapped[str]
    password_hash: Mapped[str | None]
    disabled_at: Mapped[datetime | None]


class MembershipRow(Versioned, OwnedRow):
    """A person's role in an organisation."""

    __tablename__ = "memberships"
    __table_args__ = (one_of("role", Role), Index(None, "person_id"))

    person_id: Mapped[UUID] = mapped_column(
        ForeignKey("people.id", ondelete="CASCADE"), primary_key=True
    )
    role: Mapped[Role] = mapped_column(Text)


class LoginSessionRow(NamedRow):
    """A login in a browser; ends with the membership. Only hashes of the secrets are kept."""

    __tablename__ = "login_sessions"
    __table_args__ = (
        refers("memberships", "person_id", to=("person_id",), on_delete="CASCADE"),
        UniqueConstraint("token_hash"),
        Index(None, "organisation_id", "person_id"),
    )

    person_id: Mapped[UUID]
    token_hash: Mapped[bytes]
    csrf_hash: Mapped[bytes]
    created_at: Mapped[datetime]
    seen_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]


class AccessTokenRow(NamedRow):
    """A token for programs. role: the most that it may do, whatever its person may."""

    __tablename__ = "access_tokens"
    __table_args__ = (
        refers("memberships", "person_id", to=("person_id",), on_delete="CASCADE"),
        UniqueConstraint("token_hash"),
        Index(None, "organisation_id", "person_id"),
        one_of("role", Role),
    )

    person_id: Mapped[UUID]
    name: Mapped[str]
    role: Mapped[Role] = mapped_column(Text)
    token_hash: Mapped[bytes]
    created_at: Mapped[datetime]
    used_at: Mapped[datetime | None]
    expires_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]


class InvitationRow(NamedRow):
    """An invitation to join with a role, good for one person once."""

    __tablename__ = "invitations"
    __table_args__ = (UniqueConstraint("token_hash"), one_of("role", Role))

    email: Mapped[str]
    email_key: Mapped[str]
    role: Mapped[Role] = mapped_column(Text)
    token_hash: Mapped[bytes]
    created_at: Mapped[datetime]
    by_person: Mapped[UUID | None]
    expires_at: Mapped[datetime]
    accepted_at: Mapped[datetime | None]
    revoked_at: Mapped[datetime | None]
