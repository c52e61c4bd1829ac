"""The revisions of a quote and what happened to each."""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from sqlalchemy import func
from sqlalchemy.orm import Session

from estimator.quotes.basis import basis_document
from estimator.quotes.records import Snapshot
from estimator.quotes.snapshot import text_digest
from estimator.quotes.states import QuoteState, check_step
from estimator.store.catalogues import find_catalogue_version
from estimator.store.errors import DatabaseDamaged
from estimator.store.scope import Scope, add, find
from estimator.store.tables.quotes import (
    QuoteEventRow,
    QuoteRevisionRow,
    QuoteRow,
    RevisionCatalogueRow,
)


def find_revision(session: Session, scope: Scope, quote_id: UUID, number: int) -> QuoteRevisionRow:
    """Raises NotFound."""
    return find(session, scope, QuoteRevisionRow, quote_id, number, what="revision of the quote")


def find_revisions(session: Session, scope: Scope, quote_id: UUID) -> Sequence[QuoteRevisionRow]:
    """All revisions of a quote, the first one first; empty for a quote that is not there."""
    return session.scalars(
        scope.rows(QuoteRevisionRow)
        .where(QuoteRevisionRow.quote_id == quote_id)
        .order_by(QuoteRevisionRow.number)
    ).all()


def snapshot_document(row: QuoteRevisionRow) -> Mapping[str, Any]:
    """A revision's content: job, result, basis. Raises DatabaseDamaged where it was altered."""
    if text_digest(row.snapshot) != row.snapshot_digest:
        raise DatabaseDamaged(
            f"Revision {row.number} of quote {row.quote_id} is not what was kept. Run: "
            "estimator db check, then restore a backup."
        )
    document: Mapping[str, Any] = json.loads(row.snapshot)
    return document


def find_events(session: Session, scope: Scope, quote_id: UUID) -> Sequence[QuoteEventRow]:
    """What happened to a quote's revisions, in order."""
    return session.scalars(
        scope.rows(QuoteEventRow)
        .where(QuoteEventRow.quote_id == quote_id)
        .order_by(QuoteEventRow.at, QuoteEventRow.id)
    ).all()


def move(
    session: Session,
    scope: Scope,
    revision: QuoteRevisionRow,
    after: QuoteState,
    why: str,
    link_id: UUID | None = None,
) -> None:
    """Give a revision another state and keep who did it. Raises NotAllowed."""
    check_step(revision.state, after)
    _keep_event(session, scope, revision, revision.state, after, why, link_id)
    revision.state = after


def shown(snapshot: Snapshot) -> dict[str, Any]:
    """What lists of quotes show of a new revision."""
    return {
        "state": "draft",
        "currency": snapshot.currency,
        "total": snapshot.total,
        "complete": snapshot.complete,
        "valid_until": snapshot.valid_until,
    }


def write_revision(
    session: Session, scope: Scope, quote: QuoteRow, snapshot: Snapshot, reason: str
) -> QuoteRevisionRow:
    """Keep a snapshot as the newest revision of a quote. Raises NotFound for a catalogue."""
    row = QuoteRevisionRow(
        quote_id=quote.id,
        number=quote.newest,
        snapshot=snapshot.text,
        snapshot_digest=snapshot.digest,
        basis=basis_document(snapshot.basis),
        stated=list(snapshot.stated),
        job_version=snapshot.basis.job.version if snapshot.basis.job else None,
        reason=reason,
        created_at=scope.at,
        by_person=scope.person_id,
        **shown(snapshot),
    )
    add(session, scope, row)
    _keep_event(session, scope, row, None, "draft", reason, None)
    for used in snapshot.basis.catalogues:
        version = find_catalogue_version(session, scope, UUID(used.id))
        add(
            session,
            scope,
            RevisionCatalogueRow(
                quote_id=quote.id, number=quote.newest, catalogue_version_id=version.id
            ),
        )
    return row


def _keep_event(
    session: Session,
    scope: Scope,
    revision: QuoteRevisionRow,
    before: QuoteState | None,
    after: QuoteState,
    why: str,
    link_id: UUID | None,
) -> None:
    add(
        session,
        scope,
        QuoteEventRow(
            quote_id=revision.quote_id,
            revision=revision.number,
            before=before,
            after=after,
            at=_after_the_last(session, scope, revision.quote_id),
            by_person=scope.person_id,
            by_name=scope.person_name,
            link_id=link_id,
            note=why,
        ),
    )


def _after_the_last(session: Session, scope: Scope, quote_id: UUID) -> datetime:
    """Now, or just after the last event where the clock was set back since: they tell a story."""
    last = session.scalar(
        scope.rows(QuoteEventRow)
        .with_only_columns(func.max(QuoteEventRow.at))
        .where(QuoteEventRow.quote_id == quote_id)
    )
    return scope.at if last is None else max(scope.at, last + timedelta(microseconds=1))
