"""Links by which a customer sees and answers one quote: made and revoked by the office."""

from datetime import timedelta
from uuid import UUID

from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate

from estimator.job.told import Told
from estimator.store.errors import NotFound
from estimator.store.links import add_link, revoke_link
from estimator.store.quotes import find_quote
from estimator.store.scope import find
from estimator.store.tables.quotes import CustomerLinkRow
from estimator.web.api.field_kinds import Whole, answered, answered_id, moment
from estimator.web.api.listing import PageQuery, list_page, page_of
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented

customer_links = Blueprint(
    "customer links",
    __name__,
    url_prefix="/api/v1/quotes/<uuid:quote_id>/links",
    description="Whoever holds a link sees that one quote, until it expires or is revoked",
)
_COLUMNS = {"created_at": CustomerLinkRow.created_at, "expires_at": CustomerLinkRow.expires_at}
_EXAMPLE = {"days": 30}


class LinkBody(Told):
    """A link to be made."""

    days = Whole(
        load_default=30,
        validate=validate.Range(1, 366),
        metadata={"description": "how long it is valid [days]", "example": 30},
    )


class LinkSchema(Schema):
    """A link without its secret."""

    id = answered_id("identifier")
    quote_id = answered_id("what it shows")
    created_at = moment("when it was made")
    by_person = answered_id("who made it", nullable=True)
    expires_at = moment("until when it is valid")
    revoked_at = moment("since when it is revoked", nullable=True)
    seen_at = moment("when the customer last looked", nullable=True)


class NewLinkSchema(LinkSchema):
    """A link with its secret, which is told only once."""

    secret = answered(
        fields.String,
        "what makes the link; null where the same request was answered before",
        "q_0000000000000000000000000000000000000000000",
        nullable=True,
    )


@operation(customer_links, Operation("GET", "", page_of(LinkSchema), query=PageQuery))
def list_links(ask: Ask, quote_id: UUID) -> Reply:
    """List the links to a quote"""
    find_quote(ask.session, ask.scope, quote_id)
    where = CustomerLinkRow.quote_id == quote_id
    return list_page(ask, CustomerLinkRow, _COLUMNS, "-created_at", where)


@operation(
    customer_links,
    Operation("POST", "", NewLinkSchema, 201, body=LinkBody, secrets=("secret",)),
    documented=Documented("The new link; its address is /api/v1/links/SECRET", _EXAMPLE),
)
def create_link(ask: Ask, quote_id: UUID) -> Reply:
    """Make a link to a quote for its customer"""
    expires_at = ask.scope.at + timedelta(days=ask.body["days"])
    row, secret = add_link(ask.session, ask.scope, quote_id, expires_at)
    told = {name: getattr(row, name) for name in LinkSchema().fields}
    location = f"/api/v1/quotes/{quote_id}/links/{row.id}"
    return Reply(told | {"secret": secret.text}, location=location)


@operation(customer_links, Operation("GET", "/<uuid:link_id>", LinkSchema))
def show_link(ask: Ask, quote_id: UUID, link_id: UUID) -> Reply:
    """Show a link, without its secret"""
    find_quote(ask.session, ask.scope, quote_id)
    row = find(ask.session, ask.scope, CustomerLinkRow, link_id, what="link")
    if row.quote_id != quote_id:
        raise NotFound("link", link_id)
    return Reply(row)


@operation(customer_links, Operation("DELETE", "/<uuid:link_id>", None, 204))
def delete_link(ask: Ask, quote_id: UUID, link_id: UUID) -> Reply:
    """Revoke a link: from now on it opens nothing"""
    find_quote(ask.session, ask.scope, quote_id)
    revoke_link(ask.session, ask.scope, quote_id, link_id)
    return Reply()
