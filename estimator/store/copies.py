"""Copies: a job from a template or another job, a quote from another quote."""

from datetime import date
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.quotes.basis import read_basis
from estimator.quotes.snapshot import make_snapshot
from estimator.store.jobs import add_job, find_job, find_job_version, job_document
from estimator.store.quote_revisions import find_revision, snapshot_document
from estimator.store.quotes import add_quote, find_quote
from estimator.store.scope import Scope
from estimator.store.tables.jobs import JobRow
from estimator.store.tables.quotes import QuoteRow


def copy_job(
    session: Session,
    scope: Scope,
    job_id: UUID,
    name: str,
    *,
    number: int | None = None,
    template: bool = False,
    customer_id: UUID | None = None,
) -> JobRow:
    """A new job that begins with the description of another one, or of a template.

    number: of the version to copy, else the newest. template: make a template of it. The
    customer is not copied: the next house is somebody else's. Raises NotFound.
    """
    source = find_job(session, scope, job_id)
    version = find_job_version(session, scope, job_id, number or source.newest)
    return add_job(
        session,
        scope,
        name,
        job_document(version),
        customer_id=customer_id,
        template=template,
        why=f"copied from {source.name}, version {version.number}",
    )


def copy_quote(
    session: Session,
    scope: Scope,
    quote_id: UUID,
    *,
    year: int,
    valid_until: date,
    title: str | None = None,
    number: int | None = None,
) -> QuoteRow:
    """A new quote under its own number, a draft with the content of another one's revision.

    valid_until: last day to accept it. number: of the revision to copy, else the newest. Prices
    and basis are those of the revision; revise the copy for today's. Raises NotFound.
    """
    source = find_quote(session, scope, quote_id)
    revision = find_revision(session, scope, quote_id, number or source.newest)
    document = snapshot_document(revision)
    snapshot = make_snapshot(
        document["job"],
        document["result"],
        read_basis(document["basis"]),
        valid_until,
        document["stated"],
    )
    return add_quote(
        session,
        scope,
        source.title if title is None else title,
        snapshot,
        year=year,
        job_id=source.job_id,
        customer_id=source.customer_id,
        copied_from=source.id,
    )
