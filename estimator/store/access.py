"""Ways in: login sessions of people and tokens of programs. Only hashes of secrets are kept."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TypeVar
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.store.audit import note
from estimator.store.errors import NoLongerValid
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.people import find_membership
from estimator.store.scope import Scope, add, find, flush
from estimator.store.secrets import Secret, new_secret, secret_hash
from estimator.store.tables.organisations import (
    AccessTokenRow,
    LoginSessionRow,
    MembershipRow,
    PersonRow,
    Role,
)

_REFUSED = "Log in again, or use a token that is still valid."
# From much to little.
_RANK: tuple[Role, ...] = ("owner", "estimator", "reader")
# Keeping the last use of a token needs no write on every request.
_SEEN_EVERY = timedelta(minutes=5)


@dataclass(frozen=True, slots=True)
class Access:
    """Who is at the door. role: what they may do. way: of the session or token."""

    scope: Scope
    role: Role
    way: UUID
    csrf_hash: bytes | None
    seen_lately: bool


def begin_session(
    session: Session, scope: Scope, person_id: UUID, expires_at: datetime
) -> tuple[LoginSessionRow, Secret, Secret]:
    """A login of a member: its row, its secret, and the secret against forged requests."""
    find_membership(session, scope, person_id)
    secret, csrf = new_secret("s_"), new_secret("c_")
    row = LoginSessionRow(
        person_id=person_id,
        token_hash=secret.hash,
        csrf_hash=csrf.hash,
        created_at=scope.at,
        seen_at=scope.at,
        expires_at=expires_at,
    )
    add(session, scope, row)
    note(session, scope, "logged in", "person", person_id)
    return row, secret, csrf


def open_session(session: Session, text: str, at: datetime) -> Access:
    """Who a session's secret lets in. Raises NoLongerValid, whatever is wrong with it."""
    row = _by_hash(session, LoginSessionRow, text, at)
    member, person = _member(session, row.organisation_id, row.person_id)
    scope = Scope(row.organisation_id, at, person.id, person.name)
    return Access(scope, member.role, row.id, row.csrf_hash, at - row.seen_at < _SEEN_EVERY)


def end_session(session: Session, scope: Scope, session_id: UUID) -> None:
    """Log out. Raises NotFound."""
    row = find(session, scope, LoginSessionRow, session_id, what="session")
    row.revoked_at = row.revoked_at or scope.at
    flush(session)


def add_token(
    session: Session, scope: Scope, person_id: UUID, name: str, role: Role, expires_at: datetime
) -> tuple[AccessTokenRow, Secret]:
    """A token of a member, and its secret, which cannot be had again.

    role: the most that it may do; never more than its person may.
    """
    find_membership(session, scope, person_id)
    secret = new_secret("t_")
    row = AccessTokenRow(
        person_id=person_id,
        name=name,
        role=role,
        token_hash=secret.hash,
        created_at=scope.at,
        expires_at=expires_at,
    )
    add(session, scope, row)
    note(session, scope, "added", "token", row.id, role=role)
    return row, secret


def open_token(session: Session, text: str, at: datetime) -> Access:
    """Who a token's secret lets in, as what. Raises NoLongerValid, whatever is wrong with it."""
    row = _by_hash(session, AccessTokenRow, text, at)
    member, person = _member(session, row.organisation_id, row.person_id)
    role = max(row.role, member.role, key=_RANK.index)
    scope = Scope(row.organisation_id, at, person.id, f"{person.name}, by token {row.name}")
    lately = row.used_at is not None and at - row.used_at < _SEEN_EVERY
    return Access(scope, role, row.id, None, lately)


def revoke_token(session: Session, scope: Scope, token_id: UUID) -> AccessTokenRow:
    """Make a token useless. Raises NotFound."""
    row = find(session, scope, AccessTokenRow, token_id, what="token")
    row.revoked_at = row.revoked_at or scope.at
    flush(session)
    note(session, scope, "revoked", "token", row.id)
    return row


def keep_use(session: Session, access: Access) -> None:
    """Keep that a session or token was used; worth calling unless it was seen lately."""
    login = session.get(
        LoginSessionRow,
        (access.scope.organisation_id, access.way),
        execution_options=access.scope.options,
    )
    if login is not None:
        login.seen_at = access.scope.at
    else:
        token = find(session, access.scope, AccessTokenRow, access.way, what="token")
        token.used_at = access.scope.at
    flush(session)


_Way = TypeVar("_Way", LoginSessionRow, AccessTokenRow)


def _by_hash(session: Session, table: type[_Way], text: str, at: datetime) -> _Way:
    row = session.scalars(
        select(table)
        .where(table.token_hash == secret_hash(text))
        .execution_options(**{EVERY_ORGANISATION: True})
    ).one_or_none()
    if row is None or row.revoked_at is not None or row.expires_at <= at:
        raise NoLongerValid(_REFUSED)
    return row


def _member(
    session: Session, organisation_id: int, person_id: UUID
) -> tuple[MembershipRow, PersonRow]:
    member = session.get(
        MembershipRow,
        (organisation_id, person_id),
        execution_options={EVERY_ORGANISATION: True},
    )
    person = session.get(PersonRow, person_id)
    if member is None or person is None or person.disabled_at is not None:
        raise NoLongerValid(_REFUSED)
    return member, person
