"""Answers to requests that may be sent twice: the second gets the answer of the first.

The key is written first and the answer last, in the one transaction that does what was asked:
either both are kept or neither. A second request with the key waits for the first to end.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import delete
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from estimator.store.errors import Conflict
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.scope import Scope, find, flush
from estimator.store.tables.work import IdempotencyKeyRow


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """The answer that a request got the first time."""

    status: int
    headers: Mapping[str, str]
    body: bytes


def begin_once(
    session: Session, scope: Scope, key: str, request: str, digest: str, expires_at: datetime
) -> KeptAnswer | None:
    """The kept answer of a key, or None where the request is the first one: then do it.

    request: method and path. digest: of the body. A key that expired is as one never used.
    Raises Conflict for a key that was used for another request.
    """
    values = {
        "organisation_id": scope.organisation_id,
        "key": key,
        "request": request,
        "request_digest": digest,
        "status": None,
        "headers": {},
        "body": None,
        "created_at": scope.at,
        "expires_at": expires_at,
    }
    on_sqlite = session.get_bind().dialect.name == "sqlite"
    insert: Any = (sqlite if on_sqlite else postgresql).insert(IdempotencyKeyRow).values(**values)
    fresh = insert.on_conflict_do_update(
        index_elements=["organisation_id", "key"],
        set_={name: insert.excluded[name] for name in values},
        where=IdempotencyKeyRow.expires_at <= scope.at,
    ).returning(IdempotencyKeyRow.key)
    if session.execute(fresh.execution_options(**scope.options)).first() is not None:
        return None
    row = find(session, scope, IdempotencyKeyRow, key, what="key")
    if (row.request, row.request_digest) != (request, digest):
        raise Conflict("This Idempotency-Key was used for another request; use a new one.")
    if row.status is None or row.body is None:
        raise Conflict("The first request with this Idempotency-Key has not been answered.")
    return KeptAnswer(row.status, row.headers, row.body)


def keep_answer(session: Session, scope: Scope, key: str, answer: KeptAnswer) -> None:
    """Keep what the first request was answered, for those that repeat it."""
    row = find(session, scope, IdempotencyKeyRow, key, what="key")
    row.status, row.headers, row.body = answer.status, dict(answer.headers), answer.body
    flush(session)


def forget_expired(session: Session, at: datetime) -> None:
    """Remove the keys of all organisations that expired."""
    session.execute(
        delete(IdempotencyKeyRow)
        .where(IdempotencyKeyRow.expires_at <= at)
        .execution_options(**{EVERY_ORGANISATION: True})
    )
