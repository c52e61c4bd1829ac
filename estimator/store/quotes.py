"""Quotes: make, revise, find those that a newer price list touches."""

from collections.abc import Sequence
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.quotes.numbering import counter_name, quote_number
from estimator.quotes.records import Snapshot
from estimator.quotes.states import OPEN, NotAllowed
from estimator.store.audit import note
from estimator.store.counters import next_number
from estimator.store.customers import find_customer
from estimator.store.jobs import find_job
from estimator.store.quote_revisions import find_revisions, move, shown, write_revision
from estimator.store.scope import Scope, add, find, find_to_change, keep
from estimator.store.tables.quotes import QuoteRevisionRow, QuoteRow, RevisionCatalogueRow


def add_quote(
    session: Session,
    scope: Scope,
    title: str,
    snapshot: Snapshot,
    *,
    year: int,
    job_id: UUID | None = None,
    customer_id: UUID | None = None,
    copied_from: UUID | None = None,
) -> QuoteRow:
    """A new quote under the next number of the year, with its first revision as a draft.

    Nothing removes a quote, so numbers have no holes. Raises NotFound for a job, customer or
    catalogue version who is not there.
    """
    if job_id is not None:
        find_job(session, scope, job_id)
    if customer_id is not None:
        find_customer(session, scope, customer_id)
    sequence = next_number(session, scope, counter_name(year))
    row = QuoteRow(
        year=year,
        sequence=sequence,
        number=quote_number(year, sequence),
        title=title,
        job_id=job_id,
        customer_id=customer_id,
        copied_from=copied_from,
        newest=1,
        **shown(snapshot),
    )
    add(session, scope, row)
    write_revision(session, scope, row, snapshot, "")
    note(session, scope, "added", "quote", row.id, number=row.number)
    return row


def add_revision(
    session: Session,
    scope: Scope,
    quote_id: UUID,
    snapshot: Snapshot,
    reason: str,
    version: int | None,
) -> QuoteRevisionRow:
    """The next revision of a quote, as a draft.

    A draft before it is superseded at once; what was sent stands until the new one is sent.
    Raises NotAllowed for a quote that was accepted; NotFound, StaleVersion.
    """
    row = find_to_change(session, scope, QuoteRow, quote_id, what="quote", version=version)
    revisions = find_revisions(session, scope, quote_id)
    if any(each.state == "accepted" for each in revisions):
        raise NotAllowed("The quote was accepted and stays as it is; duplicate it for a change.")
    for each in revisions:
        if each.state == "draft":
            move(session, scope, each, "superseded", "a newer draft")
    row.newest += 1
    for name, value in shown(snapshot).items():
        setattr(row, name, value)
    keep(session, scope, row)
    revision = write_revision(session, scope, row, snapshot, reason)
    note(session, scope, "revised", "quote", row.id, revision=row.newest)
    return revision


def change_quote(
    session: Session,
    scope: Scope,
    quote_id: UUID,
    version: int | None,
    *,
    title: str,
    customer_id: UUID | None,
) -> QuoteRow:
    """Change what stands around the revisions. Raises NotFound, StaleVersion."""
    row = find_to_change(session, scope, QuoteRow, quote_id, what="quote", version=version)
    if customer_id is not None:
        find_customer(session, scope, customer_id)
    row.title, row.customer_id = title, customer_id
    keep(session, scope, row)
    note(session, scope, "changed", "quote", row.id)
    return row


def find_quote(session: Session, scope: Scope, quote_id: UUID) -> QuoteRow:
    """Raises NotFound."""
    return find(session, scope, QuoteRow, quote_id, what="quote")


def quotes_priced_from(
    session: Session, scope: Scope, catalogue_version_id: UUID
) -> Sequence[QuoteRow]:
    """Open quotes (draft or sent) whose newest revision was priced from a catalogue version."""
    return session.scalars(
        scope.rows(QuoteRow)
        .join(
            RevisionCatalogueRow,
            (RevisionCatalogueRow.organisation_id == QuoteRow.organisation_id)
            & (RevisionCatalogueRow.quote_id == QuoteRow.id)
            & (RevisionCatalogueRow.number == QuoteRow.newest),
        )
        .where(
            RevisionCatalogueRow.catalogue_version_id == catalogue_version_id,
            QuoteRow.state.in_(OPEN),
        )
        .order_by(QuoteRow.id)
    ).all()
