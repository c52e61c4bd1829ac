"""Send a quote; accept or decline it; let it expire."""

from collections.abc import Sequence
from datetime import date
from typing import Literal
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.quotes.snapshot import check_sending, shortcomings
from estimator.quotes.states import NotAllowed, state_on
from estimator.store.audit import note
from estimator.store.quote_revisions import find_revisions, move, snapshot_document
from estimator.store.scope import Scope, find_to_change, keep
from estimator.store.tables.quotes import QuoteRevisionRow, QuoteRow

Answer = Literal["accepted", "declined"]


def send_quote(
    session: Session, scope: Scope, quote_id: UUID, today: date, version: int | None, why: str = ""
) -> QuoteRow:
    """Send the newest revision; one that was sent before it is superseded.

    Raises NotAllowed with every shortcoming that the document does not state; NotFound,
    StaleVersion.
    """
    row = find_to_change(session, scope, QuoteRow, quote_id, what="quote", version=version)
    revisions = find_revisions(session, scope, quote_id)
    newest = revisions[-1]
    if newest.state == "draft":
        found = tuple(shortcomings(snapshot_document(newest)["result"]))
        check_sending(found, newest.stated, newest.valid_until, today)
    move(session, scope, newest, "sent", why)
    for earlier in revisions[:-1]:
        if earlier.state in ("sent", "declined", "expired"):
            move(session, scope, earlier, "superseded", f"by revision {newest.number}")
    return _keep(session, scope, row, newest)


def answer_quote(
    session: Session,
    scope: Scope,
    quote_id: UUID,
    answer: Answer,
    today: date,
    version: int | None,
    *,
    revision: int | None = None,
    why: str = "",
    link_id: UUID | None = None,
) -> QuoteRow:
    """Keep the customer's answer to the revision that was sent.

    revision: number of the one that the customer saw; another one is refused. A draft made
    meanwhile is superseded by an acceptance. Raises NotAllowed where nothing is sent, where
    the day to accept it is gone by, or where another revision is the sent one.
    """
    row = find_to_change(session, scope, QuoteRow, quote_id, what="quote", version=version)
    revisions = find_revisions(session, scope, quote_id)
    shown = sent_revision(revisions)
    if shown is None:
        raise NotAllowed(f"The quote is {revisions[-1].state}; there is nothing to answer.")
    if revision is not None and revision != shown.number:
        raise NotAllowed(f"Revision {shown.number} was sent since; look at that one first.")
    if answer == "accepted" and state_on("sent", shown.valid_until, today) == "expired":
        raise NotAllowed(
            f"The quote could be accepted until {shown.valid_until}; ask for a new revision."
        )
    move(session, scope, shown, answer, why, link_id)
    for later in revisions:
        if answer == "accepted" and later.state == "draft":
            move(session, scope, later, "superseded", f"revision {shown.number} was accepted")
    if answer == "accepted":
        row.total, row.complete, row.currency = shown.total, shown.complete, shown.currency
        row.valid_until = shown.valid_until
    return _keep(session, scope, row, shown)


def expire_quotes(session: Session, scope: Scope, today: date) -> int:
    """Mark every sent revision whose last day is gone by; how many there were."""
    overdue = session.scalars(
        scope.rows(QuoteRevisionRow).where(
            QuoteRevisionRow.state == "sent", QuoteRevisionRow.valid_until < today
        )
    ).all()
    for revision in overdue:
        row = find_to_change(
            session, scope, QuoteRow, revision.quote_id, what="quote", version=None
        )
        move(session, scope, revision, "expired", f"valid until {revision.valid_until}")
        _keep(session, scope, row, revision)
    return len(overdue)


def sent_revision(revisions: Sequence[QuoteRevisionRow]) -> QuoteRevisionRow | None:
    """The revision that the customer can answer: at most one is."""
    return next((each for each in reversed(revisions) if each.state == "sent"), None)


def _keep(session: Session, scope: Scope, row: QuoteRow, moved: QuoteRevisionRow) -> QuoteRow:
    # The quote shows the state of its newest revision, or that an earlier one was accepted.
    if moved.number == row.newest or moved.state == "accepted":
        row.state = moved.state
    keep(session, scope, row)
    note(session, scope, moved.state, "quote", row.id, revision=moved.number)
    return row
