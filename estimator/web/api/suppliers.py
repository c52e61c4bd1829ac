"""Suppliers: where goods are bought."""

from uuid import UUID

from flask_smorest import Blueprint
from marshmallow import Schema, fields

from estimator.job.schema_fields import YesNo
from estimator.job.told import Told
from estimator.store.suppliers import (
    add_supplier,
    change_supplier,
    find_supplier,
    remove_supplier,
)
from estimator.store.tables.suppliers import SupplierRow
from estimator.web.api.field_kinds import answered, answered_id, moment, name, remark
from estimator.web.api.listing import ArchivedQuery, list_page, named_like, page_of, put_aside
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented

suppliers = Blueprint(
    "suppliers",
    __name__,
    url_prefix="/api/v1/suppliers",
    description="Where goods are bought",
)
EXAMPLE = {"name": "North Counter (invented)", "note": "Account 0000"}
_COLUMNS = {
    "name": SupplierRow.name,
    "created_at": SupplierRow.created_at,
    "changed_at": SupplierRow.changed_at,
}


class SupplierBody(Told):
    """What is known of a supplier."""

    name = name("as it stands on buying lists", "North Counter (invented)")
    note = remark("for the office only", "Account 0000")
    archived = YesNo(load_default=False, metadata={"description": "put aside", "example": False})


class SupplierRowSchema(Schema):
    """A supplier."""

    id = answered_id("identifier")
    name = answered(fields.String, "as it stands on buying lists", "North Counter (invented)")
    note = answered(fields.String, "for the office only", "Account 0000")
    version = answered(fields.Integer, "counts changes; the ETag", 1)
    created_at = moment("when it was added")
    changed_at = moment("when it was last changed")
    archived_at = moment("since when it is put aside", nullable=True)


@operation(suppliers, Operation("GET", "", page_of(SupplierRowSchema), query=ArchivedQuery))
def list_suppliers(ask: Ask) -> Reply:
    """List suppliers"""
    return list_page(
        ask,
        SupplierRow,
        _COLUMNS,
        "name",
        put_aside(SupplierRow.archived_at, ask.query["archived"]),
        *named_like(ask.query["search"], SupplierRow.name),
    )


@operation(
    suppliers,
    Operation("POST", "", SupplierRowSchema, 201, body=SupplierBody),
    documented=Documented("The new supplier", EXAMPLE),
)
def create_supplier(ask: Ask) -> Reply:
    """Add a supplier"""
    row = add_supplier(ask.session, ask.scope, ask.body["name"], ask.body["note"])
    if ask.body["archived"]:
        row = _changed(ask, row.id, None)
    return Reply(row, row.version, f"/api/v1/suppliers/{row.id}")


@operation(suppliers, Operation("GET", "/<uuid:supplier_id>", SupplierRowSchema))
def show_supplier(ask: Ask, supplier_id: UUID) -> Reply:
    """Show a supplier"""
    row = find_supplier(ask.session, ask.scope, supplier_id)
    return Reply(row, row.version)


@operation(
    suppliers,
    Operation("PUT", "/<uuid:supplier_id>", SupplierRowSchema, body=SupplierBody, if_match=True),
    documented=Documented("The supplier as it is now", EXAMPLE),
)
def replace_supplier(ask: Ask, supplier_id: UUID) -> Reply:
    """Change a supplier"""
    row = find_supplier(ask.session, ask.scope, supplier_id)
    row = _changed(ask, supplier_id, ask.condition.version(row.version))
    return Reply(row, row.version)


@operation(suppliers, Operation("DELETE", "/<uuid:supplier_id>", None, 204, if_match=True))
def delete_supplier(ask: Ask, supplier_id: UUID) -> Reply:
    """Remove a supplier without catalogues"""
    row = find_supplier(ask.session, ask.scope, supplier_id)
    remove_supplier(ask.session, ask.scope, supplier_id, ask.condition.version(row.version))
    return Reply()


def _changed(ask: Ask, supplier_id: UUID, version: int | None) -> SupplierRow:
    return change_supplier(
        ask.session,
        ask.scope,
        supplier_id,
        version,
        name=ask.body["name"],
        remark=ask.body["note"],
        archived=ask.body["archived"],
    )
