"""Customers: whom quotes go to."""

from uuid import UUID

from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate

from estimator.job.schema_fields import Text, YesNo
from estimator.job.told import Told
from estimator.store.customers import (
    FIELDS,
    add_customer,
    archive_customer,
    change_customer,
    find_customer,
    remove_customer,
)
from estimator.store.tables.jobs import CustomerRow
from estimator.web.api.field_kinds import answered, answered_id, moment, name, remark
from estimator.web.api.listing import ArchivedQuery, list_page, named_like, page_of, put_aside
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented

customers = Blueprint(
    "customers", __name__, url_prefix="/api/v1/customers", description="Whom quotes go to"
)
EXAMPLE = {
    "name": "A. Homeowner",
    "email": "a.homeowner@example.org",
    "phone": "555-0100",
    "address": "12 Example Road",
    "note": "Dog in the yard.",
}
_COLUMNS = {
    "name": CustomerRow.name,
    "created_at": CustomerRow.created_at,
    "changed_at": CustomerRow.changed_at,
}


def _line(description: str, example: str) -> Text:
    return Text(
        load_default="",
        validate=validate.Length(max=200),
        metadata={"description": description, "example": example},
    )


class CustomerBody(Told):
    """What is known of a customer."""

    name = name("as it stands on the quote", "A. Homeowner")
    email = _line("where quotes are sent", "a.homeowner@example.org")
    phone = _line("telephone", "555-0100")
    address = remark("lines of the address", "12 Example Road")
    note = remark("for the office only", "Dog in the yard.")
    archived = YesNo(load_default=False, metadata={"description": "put aside", "example": False})


class CustomerSchema(Schema):
    """A customer."""

    id = answered_id("identifier")
    name = answered(fields.String, "as it stands on the quote", "A. Homeowner")
    email = answered(fields.String, "where quotes are sent", "a.homeowner@example.org")
    phone = answered(fields.String, "telephone", "555-0100")
    address = answered(fields.String, "lines of the address", "12 Example Road")
    note = answered(fields.String, "for the office only", "Dog in the yard.")
    version = answered(fields.Integer, "counts changes; the ETag", 1)
    created_at = moment("when it was added")
    changed_at = moment("when it was last changed")
    archived_at = moment("since when it is put aside", nullable=True)


@operation(customers, Operation("GET", "", page_of(CustomerSchema), query=ArchivedQuery))
def list_customers(ask: Ask) -> Reply:
    """List customers"""
    return list_page(
        ask,
        CustomerRow,
        _COLUMNS,
        "name",
        put_aside(CustomerRow.archived_at, ask.query["archived"]),
        *named_like(ask.query["search"], CustomerRow.name),
    )


@operation(
    customers,
    Operation("POST", "", CustomerSchema, 201, body=CustomerBody),
    documented=Documented("The new customer", EXAMPLE),
)
def create_customer(ask: Ask) -> Reply:
    """Add a customer"""
    row = add_customer(ask.session, ask.scope, {each: ask.body[each] for each in FIELDS})
    if ask.body["archived"]:
        archive_customer(ask.session, ask.scope, row.id, None)
    return _told(row, f"/api/v1/customers/{row.id}")


@operation(customers, Operation("GET", "/<uuid:customer_id>", CustomerSchema))
def show_customer(ask: Ask, customer_id: UUID) -> Reply:
    """Show a customer"""
    return _told(find_customer(ask.session, ask.scope, customer_id))


@operation(
    customers,
    Operation("PUT", "/<uuid:customer_id>", CustomerSchema, body=CustomerBody, if_match=True),
    documented=Documented("The customer as it is now", EXAMPLE),
)
def replace_customer(ask: Ask, customer_id: UUID) -> Reply:
    """Change a customer; what is left out becomes blank"""
    row = find_customer(ask.session, ask.scope, customer_id)
    version = ask.condition.version(row.version)
    fields_given = {each: ask.body[each] for each in FIELDS}
    row = change_customer(ask.session, ask.scope, customer_id, fields_given, version)
    if ask.body["archived"] != (row.archived_at is not None):
        archive_customer(ask.session, ask.scope, customer_id, None, archived=ask.body["archived"])
    return _told(row)


@operation(customers, Operation("DELETE", "/<uuid:customer_id>", None, 204, if_match=True))
def delete_customer(ask: Ask, customer_id: UUID) -> Reply:
    """Remove a customer without jobs or quotes"""
    row = find_customer(ask.session, ask.scope, customer_id)
    remove_customer(ask.session, ask.scope, customer_id, ask.condition.version(row.version))
    return Reply()


def _told(row: CustomerRow, location: str = "") -> Reply:
    return Reply(row, row.version, location)
