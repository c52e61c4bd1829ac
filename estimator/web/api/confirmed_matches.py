"""What people said that suppliers' items are."""

from typing import Any
from uuid import UUID

from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate

from estimator.finding import Fault, InputRefused
from estimator.job.schema_fields import Text
from estimator.job.told import Told
from estimator.store.confirmed_matches import confirm_match, forget_match
from estimator.store.suppliers import find_supplier
from estimator.store.tables.suppliers import ConfirmedMatchRow
from estimator.takeoff.part_kinds import UnknownPart, load_part_kinds
from estimator.web.api.facts_field import Facts
from estimator.web.api.field_kinds import Identifier, answered, answered_id, moment
from estimator.web.api.listing import PageQuery, list_page, page_of
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented

confirmed_matches = Blueprint(
    "confirmed matches",
    __name__,
    url_prefix="/api/v1/confirmed-matches",
    description="What items are whose description does not tell it for sure; said once",
)
EXAMPLE = {
    "supplier_id": "018f0000-0000-7000-8000-000000000001",
    "item_number": "NC-0059",
    "kind": "conductor",
    "attributes": {
        "size": "10 AWG",
        "insulation": "THHN/THWN-2",
        "material": "cu",
        "colour": "black",
    },
}
_COLUMNS = {
    "item_number": ConfirmedMatchRow.item_number,
    "confirmed_at": ConfirmedMatchRow.confirmed_at,
}


def _number() -> Text:
    return Text(
        required=True,
        validate=validate.Length(min=1, max=200),
        metadata={"description": "supplier's number", "example": "NC-0059"},
    )


class MatchBody(Told):
    """What an item is."""

    supplier_id = Identifier(required=True, metadata={"description": "whose item it is"})
    item_number = _number()
    kind = Text(required=True, metadata={"description": "kind of part", "example": "conductor"})
    attributes = Facts(
        required=True,
        metadata={"description": "all attributes of the kind", "example": EXAMPLE["attributes"]},
    )


class OneMatchQuery(Told):
    """Which match."""

    supplier_id = Identifier(required=True, metadata={"description": "whose item it is"})
    item_number = _number()


class MatchQuery(PageQuery):
    """Which matches."""

    supplier_id = Identifier(load_default=None, metadata={"description": "of this supplier"})


class MatchSchema(Schema):
    """What an item is, as a person confirmed it."""

    supplier_id = answered_id("whose item it is")
    item_number = answered(fields.String, "supplier's number", "NC-0059")
    kind = answered(fields.String, "kind of part", "conductor")
    attributes = fields.Dict(keys=fields.String(), values=fields.String(), required=True)
    confirmed_at = moment("when it was said")
    by_person = answered_id("who said it", nullable=True)


@operation(confirmed_matches, Operation("GET", "", page_of(MatchSchema), query=MatchQuery))
def list_matches(ask: Ask) -> Reply:
    """List confirmed matches"""
    where = []
    if ask.query["supplier_id"] is not None:
        supplier = find_supplier(ask.session, ask.scope, ask.query["supplier_id"])
        where.append(ConfirmedMatchRow.supplier_id == supplier.id)
    return list_page(ask, ConfirmedMatchRow, _COLUMNS, "item_number", *where, told=_told)


@operation(
    confirmed_matches,
    Operation("PUT", "", MatchSchema, body=MatchBody),
    documented=Documented("What the item is from now on", EXAMPLE),
)
def confirm(ask: Ask) -> Reply:
    """Say what an item is, in place of what was said before"""
    body = ask.body
    supplier = find_supplier(ask.session, ask.scope, body["supplier_id"])
    try:
        attributes = load_part_kinds().identify(body["kind"], body["attributes"])
    except UnknownPart as error:
        raise InputRefused("request", (Fault("/attributes", str(error)),)) from None
    row = confirm_match(
        ask.session, ask.scope, supplier.name, body["item_number"], body["kind"], attributes
    )
    return Reply(_told(row))


@operation(confirmed_matches, Operation("DELETE", "", None, 204, query=OneMatchQuery))
def take_back(ask: Ask) -> Reply:
    """Take back what was said of an item"""
    supplier: UUID = ask.query["supplier_id"]
    find_supplier(ask.session, ask.scope, supplier)
    forget_match(ask.session, ask.scope, supplier, ask.query["item_number"])
    return Reply()


def _told(row: ConfirmedMatchRow) -> dict[str, Any]:
    return {
        "supplier_id": row.supplier_id,
        "item_number": row.item_number,
        "kind": row.kind,
        "attributes": dict(row.attributes),
        "confirmed_at": row.confirmed_at,
        "by_person": row.by_person,
    }
