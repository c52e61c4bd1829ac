"""Quotes: make, find, rename, copy."""

from uuid import UUID

from flask_smorest import Blueprint
from sqlalchemy import ColumnElement, and_, or_

from estimator.store.customers import find_customer
from estimator.store.jobs import find_job
from estimator.store.quote_revisions import find_events
from estimator.store.quotes import change_quote, find_quote
from estimator.store.tables.quotes import QuoteRow
from estimator.stored.quoting import duplicate_quote, make_quote
from estimator.web.api.listing import list_page, named_like, page_of
from estimator.web.api.means_fields import wanted_of
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.quote_schemas import (
    COPY_EXAMPLE,
    HEAD_EXAMPLE,
    QUOTE_EXAMPLE,
    EventListSchema,
    QuoteBody,
    QuoteCopyBody,
    QuoteHeadBody,
    QuoteQuery,
    QuoteRowSchema,
    quote_told,
)

quotes = Blueprint(
    "quotes",
    __name__,
    url_prefix="/api/v1/quotes",
    description="Quotes under numbers without holes",
)
_COLUMNS = {
    "number": QuoteRow.number,
    "title": QuoteRow.title,
    "total": QuoteRow.total,
    "valid_until": QuoteRow.valid_until,
    "created_at": QuoteRow.created_at,
    "changed_at": QuoteRow.changed_at,
}


@operation(quotes, Operation("GET", "", page_of(QuoteRowSchema), query=QuoteQuery))
def list_quotes(ask: Ask) -> Reply:
    """List quotes"""
    where = list(named_like(ask.query["search"], QuoteRow.title, QuoteRow.number))
    if ask.query["state"]:
        where.append(_in_state(ask))
    if ask.query["customer_id"] is not None:
        customer = find_customer(ask.session, ask.scope, ask.query["customer_id"])
        where.append(QuoteRow.customer_id == customer.id)
    if ask.query["job_id"] is not None:
        job = find_job(ask.session, ask.scope, ask.query["job_id"])
        where.append(QuoteRow.job_id == job.id)
    return list_page(
        ask, QuoteRow, _COLUMNS, "-created_at", *where,
        told=lambda row: quote_told(row, ask.today),
    )  # fmt: skip


@operation(
    quotes,
    Operation("POST", "", QuoteRowSchema, 201, body=QuoteBody),
    documented=Documented("The new quote, a draft", QUOTE_EXAMPLE),
)
def create_quote(ask: Ask) -> Reply:
    """Make a quote from a job"""
    body = ask.body
    row = make_quote(
        ask.session,
        ask.scope,
        body["title"],
        body["job_id"],
        wanted_of(body),
        body["on"] or ask.today,
        job_version=body["job_version"],
        customer_id=body["customer_id"],
        stated=body["stated"],
    )
    return told(ask, row, made=True)


@operation(quotes, Operation("GET", "/<uuid:quote_id>", QuoteRowSchema))
def show_quote(ask: Ask, quote_id: UUID) -> Reply:
    """Show a quote"""
    return told(ask, find_quote(ask.session, ask.scope, quote_id))


@operation(
    quotes,
    Operation("PUT", "/<uuid:quote_id>", QuoteRowSchema, body=QuoteHeadBody, if_match=True),
    documented=Documented("The quote as it is now", HEAD_EXAMPLE),
)
def replace_quote(ask: Ask, quote_id: UUID) -> Reply:
    """Rename a quote, or say whom it goes to"""
    row = find_quote(ask.session, ask.scope, quote_id)
    row = change_quote(
        ask.session,
        ask.scope,
        quote_id,
        ask.condition.version(row.version),
        title=ask.body["title"],
        customer_id=ask.body["customer_id"],
    )
    return told(ask, row)


@operation(
    quotes,
    Operation("POST", "/<uuid:quote_id>/copies", QuoteRowSchema, 201, body=QuoteCopyBody),
    documented=Documented("The new quote, a draft", COPY_EXAMPLE),
)
def copy_quote(ask: Ask, quote_id: UUID) -> Reply:
    """Make another quote of the same job as a revision had it, at today's prices"""
    row = duplicate_quote(
        ask.session,
        ask.scope,
        quote_id,
        ask.body["revision"],
        ask.today,
        title=ask.body["title"],
        customer_id=ask.body["customer_id"],
    )
    return told(ask, row, made=True)


@operation(quotes, Operation("GET", "/<uuid:quote_id>/events", EventListSchema))
def list_events(ask: Ask, quote_id: UUID) -> Reply:
    """List what happened to a quote, with who and when"""
    find_quote(ask.session, ask.scope, quote_id)
    return Reply({"rows": find_events(ask.session, ask.scope, quote_id)})


def told(ask: Ask, row: QuoteRow, *, made: bool = False) -> Reply:
    """A quote as it is answered."""
    location = f"/api/v1/quotes/{row.id}" if made else ""
    return Reply(quote_told(row, ask.today), row.version, location)


def _in_state(ask: Ask) -> ColumnElement[bool]:
    """The state by date: a sent quote whose last day is gone by is expired."""
    state: str = ask.query["state"]
    gone_by = QuoteRow.valid_until < ask.today
    if state == "sent":
        return and_(QuoteRow.state == "sent", ~gone_by)
    if state == "expired":
        return or_(QuoteRow.state == "expired", and_(QuoteRow.state == "sent", gone_by))
    return QuoteRow.state == state
