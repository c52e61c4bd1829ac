"""What the holder of a customer's link sees and may do: that one quote, and nothing else."""

from typing import Any

from flask import Response
from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate
from sqlalchemy.orm import Session
from werkzeug.exceptions import NotFound

from estimator.job.told import Told
from estimator.quotes.states import state_on
from estimator.store.errors import NoLongerValid
from estimator.store.links import OpenedLink, link_seen, open_link
from estimator.store.organisations import find_organisation
from estimator.store.quote_revisions import snapshot_document
from estimator.store.quote_steps import Answer, answer_quote
from estimator.store.quotes import find_quote
from estimator.store.tables.quotes import QuoteRevisionRow
from estimator.stored.quote_papers import QUOTE, customers_revision, customers_view, kept_quote
from estimator.web.api.field_kinds import Whole, amount, answered, day, remark
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.quote_revisions import document_answer

public_links = Blueprint(
    "links",
    __name__,
    url_prefix="/api/v1/links/<string(maxlength=100):secret>",
    description="For a customer: the one quote of a link; the link itself lets in",
)
_EXAMPLE = {"revision": 1, "note": "Please begin in May."}
_NOT_NOW = {409: "Another revision was sent since, or the quote cannot be answered any more"}


class AnswerBody(Told):
    """A customer's answer."""

    revision = Whole(
        required=True,
        validate=validate.Range(1, 999_999_999),
        metadata={"description": "number of the revision that was seen", "example": 1},
    )
    note = remark("for the office", "Please begin in May.", most=500)


class GroupPriceSchema(Schema):
    """What a group of work costs."""

    what = answered(fields.String, "group", "Materials")
    amount = amount("before tax", "670.45")


class PublicQuoteSchema(Schema):
    """A quote as its customer sees it."""

    office = answered(fields.String, "whose quote it is", "Invented Electric")
    number = answered(fields.String, "number of the quote", "2026-0007")
    revision = answered(fields.Integer, "number of the revision", 1)
    title = answered(fields.String, "what is quoted", "Backup of the house")
    state = answered(fields.String, "sent, accepted, declined or expired", "sent")
    may_answer = answered(fields.Boolean, "it can be accepted or declined", True)
    currency = answered(fields.String, "three letters", "USD")
    groups = fields.List(fields.Nested(GroupPriceSchema), required=True)
    sales_tax = amount("sales tax", "0.00")
    total = amount("with tax", "2278.65")
    deposit = amount("due with the order", "0.00")
    complete = answered(fields.Boolean, "every part has a price", True)
    valid_until = day("last day on which it can be accepted")
    document = answered(fields.String, "address of the quote as PDF", "quote.pdf")


@operation(public_links, Operation("GET", "", PublicQuoteSchema, public=True, writes=True))
def show_linked_quote(ask: Ask, secret: str) -> Reply:
    """Show the quote of a link"""
    opened = _open(ask.session, secret, ask)
    link_seen(ask.session, opened)
    return Reply(_told(ask, opened, secret))


@operation(
    public_links,
    Operation("GET", "/quote.pdf", None, public=True),
    documented=Documented("The quote as it was sent", media="application/pdf"),
)
def show_linked_document(ask: Ask, secret: str) -> Response:
    """Show the quote of a link as PDF, as it was sent"""
    opened = _open(ask.session, secret, ask)
    shown = _shown(ask.session, opened)
    data = kept_quote(ask.session, opened.scope, shown)
    if data is None:
        raise NotFound("There is no document of this quote.")
    number = find_quote(ask.session, opened.scope, opened.quote_id).number
    return document_answer(data, QUOTE, f"{number}-{shown.number}-{QUOTE}")


@operation(
    public_links,
    Operation("POST", "/accept", PublicQuoteSchema, body=AnswerBody, public=True),
    documented=Documented("The quote, accepted", _EXAMPLE, problems=_NOT_NOW),
)
def accept_linked_quote(ask: Ask, secret: str) -> Reply:
    """Accept the quote of a link"""
    return _answered(ask, secret, "accepted")


@operation(
    public_links,
    Operation("POST", "/decline", PublicQuoteSchema, body=AnswerBody, public=True),
    documented=Documented("The quote, declined", _EXAMPLE, problems=_NOT_NOW),
)
def decline_linked_quote(ask: Ask, secret: str) -> Reply:
    """Decline the quote of a link"""
    return _answered(ask, secret, "declined")


def _answered(ask: Ask, secret: str, answer: Answer) -> Reply:
    opened = _open(ask.session, secret, ask)
    answer_quote(
        ask.session,
        opened.scope,
        opened.quote_id,
        answer,
        ask.today,
        None,
        revision=ask.body["revision"],
        why=ask.body["note"],
        link_id=opened.link_id,
    )
    return Reply(_told(ask, opened, secret))


def _open(session: Session, secret: str, ask: Ask) -> OpenedLink:
    """The link; one answer for whatever is wrong with it."""
    try:
        return open_link(session, secret, ask.scope.at)
    except NoLongerValid as error:
        raise NotFound(str(error)) from error


def _shown(session: Session, opened: OpenedLink) -> QuoteRevisionRow:
    shown = customers_revision(session, opened.scope, opened.quote_id)
    if shown is None:
        raise NotFound("There is nothing to see yet: the quote has not been sent.")
    return shown


def _told(ask: Ask, opened: OpenedLink, secret: str) -> dict[str, Any]:
    quote = find_quote(ask.session, opened.scope, opened.quote_id)
    shown = _shown(ask.session, opened)
    state = state_on(shown.state, shown.valid_until, ask.today)
    content = snapshot_document(shown)
    price = content["result"]["price"]
    return {
        "office": find_organisation(ask.session, opened.scope).name,
        "number": quote.number,
        "revision": shown.number,
        "title": quote.title,
        "state": state,
        "may_answer": state == "sent",
        "currency": shown.currency,
        "groups": customers_view(content),
        "sales_tax": price["totals"]["sales_tax"],
        "total": shown.total,
        "deposit": price["deposit"],
        "complete": shown.complete,
        "valid_until": shown.valid_until,
        "document": f"/api/v1/links/{secret}/quote.pdf",
    }
