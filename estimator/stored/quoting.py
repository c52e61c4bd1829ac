"""Make quotes from jobs: a first revision, a next one, a copy."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.quotes.basis import read_basis
from estimator.quotes.records import ShortcomingKind, Snapshot, Used
from estimator.quotes.snapshot import make_snapshot
from estimator.store.jobs import find_job, find_job_version, job_document
from estimator.store.quote_revisions import find_revision, snapshot_document
from estimator.store.quotes import add_quote, add_revision, find_quote
from estimator.store.scope import Scope
from estimator.store.tables.jobs import JobRow, JobVersionRow
from estimator.store.tables.quotes import QuoteRevisionRow, QuoteRow
from estimator.stored.estimate import Computed, compute
from estimator.stored.means import Wanted, wanted_again

Json = Mapping[str, Any]
Stated = Sequence[ShortcomingKind]


@dataclass(frozen=True, slots=True)
class QuotedJob:
    """A job as a quote takes it. used: None for a description that no stored job has."""

    document: Json
    used: Used | None


class NotTheSame(Exception):
    """A revision cannot be computed once more with the outcome that was kept."""


def used_job(row: JobRow, version: JobVersionRow) -> Used:
    """A version of a job, as the basis of a revision names it."""
    return Used(str(row.id), row.name, version.number, version.digest)


def stored_job(session: Session, scope: Scope, job_id: UUID, number: int | None) -> QuotedJob:
    """A version of a stored job; None for the newest. Raises NotFound."""
    row = find_job(session, scope, job_id)
    version = find_job_version(session, scope, job_id, number or row.newest)
    return QuotedJob(named_document(row, version), used_job(row, version))


def named_document(row: JobRow, version: JobVersionRow) -> Json:
    """The description of a version, under the name of its job where it has none of its own."""
    return {"name": row.name, **job_document(version)}


def make_quote(
    session: Session,
    scope: Scope,
    title: str,
    job_id: UUID,
    wanted: Wanted,
    on: date,
    *,
    job_version: int | None = None,
    customer_id: UUID | None = None,
    stated: Stated = (),
) -> QuoteRow:
    """A new quote from a stored job, for its customer unless another is named.

    stated: kinds of shortcoming that the document states. Raises NotFound, InputRefused.
    """
    row = find_job(session, scope, job_id)
    job = stored_job(session, scope, job_id, job_version)
    snapshot = _snapshot(compute(session, scope, job.document, wanted, on, job.used),
                         job.document, wanted, stated)  # fmt: skip
    return add_quote(
        session,
        scope,
        title or row.name,
        snapshot,
        year=on.year,
        job_id=job_id,
        customer_id=customer_id or row.customer_id,
    )


def revise_quote(
    session: Session,
    scope: Scope,
    quote_id: UUID,
    version: int | None,
    on: date,
    reason: str,
    *,
    wanted: Wanted | None = None,
    job_version: int | None = None,
    stated: Stated | None = None,
) -> QuoteRevisionRow:
    """The next revision of a quote, computed anew.

    wanted: None for what the revision before was made with, in the versions that count now; so
    this is also how a quote is priced from a newer list. job_version: None for the newest of
    the quote's job. stated: None for what was stated before. Raises NotFound, StaleVersion,
    NotAllowed, InputRefused.
    """
    quote = find_quote(session, scope, quote_id)
    before = find_revision(session, scope, quote_id, quote.newest)
    job = (
        stored_job(session, scope, quote.job_id, job_version)
        if quote.job_id is not None
        else QuotedJob(snapshot_document(before)["job"], None)
    )
    wanted = wanted or asked_before(before, newest=True)
    kinds: Any = before.stated if stated is None else stated
    computed = compute(session, scope, job.document, wanted, on, job.used)
    snapshot = _snapshot(computed, job.document, wanted, kinds)
    return add_revision(session, scope, quote_id, snapshot, reason, version)


def duplicate_quote(
    session: Session,
    scope: Scope,
    quote_id: UUID,
    revision: int | None,
    on: date,
    *,
    title: str = "",
    customer_id: UUID | None = None,
) -> QuoteRow:
    """A new quote of the job as a revision had it, at the prices that count now."""
    quote = find_quote(session, scope, quote_id)
    source = find_revision(session, scope, quote_id, revision or quote.newest)
    content = snapshot_document(source)
    used = read_basis(content["basis"]).job
    wanted = asked_before(source, newest=True)
    computed = compute(session, scope, content["job"], wanted, on, used)
    return add_quote(
        session,
        scope,
        title or quote.title,
        _snapshot(computed, content["job"], wanted, ()),
        year=on.year,
        job_id=quote.job_id,
        customer_id=customer_id or quote.customer_id,
        copied_from=quote.id,
    )


def compute_again(session: Session, scope: Scope, revision: QuoteRevisionRow) -> FullEstimate:
    """The estimate of a revision, for its documents; exactly what was kept.

    Raises NotTheSame where tables, rules or confirmed matches are others by now.
    """
    content = snapshot_document(revision)
    result = content["result"]
    wanted = asked_before(revision, newest=False)
    on = date.fromisoformat(result["computed_on"])
    job = read_basis(content["basis"]).job
    estimate = compute(session, scope, content["job"], wanted, on, job).estimate
    if json.loads(json.dumps(result_document(estimate))) != result:
        raise NotTheSame(
            f"Revision {revision.number} was computed with other tables, rules or confirmed "
            "matches than count now. It stays as it is kept; make a new revision for documents."
        )
    return estimate


def asked_before(revision: QuoteRevisionRow, *, newest: bool) -> Wanted:
    """What a revision was computed with; newest: in the versions that count now instead."""
    content = snapshot_document(revision)
    asked = content["asked"]
    return wanted_again(
        read_basis(content["basis"]),
        tuple(asked["programme_facts"].items()),
        year_table=asked["year_table"],
        newest=newest,
    )


def _snapshot(computed: Computed, document: Json, wanted: Wanted, stated: Stated) -> Snapshot:
    terms = computed.estimate.job.terms
    return make_snapshot(
        document,
        result_document(computed.estimate),
        computed.basis,
        terms.quoted_on + timedelta(days=terms.valid_days),
        stated,
        {
            "programme_facts": dict(wanted.programme_facts),
            "year_table": wanted.year_table,
        },
    )
