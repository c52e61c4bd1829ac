"""Catalogues: price lists that are renewed from time to time."""

from uuid import UUID

from flask_smorest import Blueprint
from marshmallow import Schema, fields

from estimator.job.schema_fields import YesNo
from estimator.job.told import Told
from estimator.store.catalogues import (
    add_catalogue,
    change_catalogue,
    find_catalogue,
    remove_catalogue,
)
from estimator.store.suppliers import find_supplier
from estimator.store.tables.catalogues import CatalogueRow
from estimator.web.api.field_kinds import (
    Identifier,
    answered,
    answered_id,
    moment,
    name,
    optional_id,
)
from estimator.web.api.listing import ArchivedQuery, list_page, named_like, page_of, put_aside
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented

catalogues = Blueprint(
    "catalogues",
    __name__,
    url_prefix="/api/v1/catalogues",
    description="Price lists that are renewed from time to time",
)
EXAMPLE = {"name": "North Counter, trade prices"}
_COLUMNS = {
    "name": CatalogueRow.name,
    "created_at": CatalogueRow.created_at,
    "changed_at": CatalogueRow.changed_at,
}


class CatalogueBody(Told):
    """What stands around a catalogue's versions."""

    name = name("what the office calls it", "North Counter, trade prices")
    supplier_id = optional_id("whose prices they are; their columns are remembered for it")
    archived = YesNo(
        load_default=False,
        metadata={"description": "put aside; nothing is priced from it", "example": False},
    )


class CatalogueQuery(ArchivedQuery):
    """Which catalogues."""

    supplier_id = Identifier(load_default=None, metadata={"description": "of this supplier"})


class CatalogueRowSchema(Schema):
    """A catalogue."""

    id = answered_id("identifier")
    name = answered(fields.String, "what the office calls it", "North Counter, trade prices")
    supplier_id = answered_id("whose prices they are", nullable=True)
    version = answered(fields.Integer, "counts changes; the ETag", 1)
    created_at = moment("when it was added")
    changed_at = moment("when it was last changed")
    archived_at = moment("since when it is put aside", nullable=True)


@operation(catalogues, Operation("GET", "", page_of(CatalogueRowSchema), query=CatalogueQuery))
def list_catalogues(ask: Ask) -> Reply:
    """List catalogues"""
    where = [
        put_aside(CatalogueRow.archived_at, ask.query["archived"]),
        *named_like(ask.query["search"], CatalogueRow.name),
    ]
    if ask.query["supplier_id"] is not None:
        supplier = find_supplier(ask.session, ask.scope, ask.query["supplier_id"])
        where.append(CatalogueRow.supplier_id == supplier.id)
    return list_page(ask, CatalogueRow, _COLUMNS, "name", *where)


@operation(
    catalogues,
    Operation("POST", "", CatalogueRowSchema, 201, body=CatalogueBody),
    documented=Documented("The new catalogue, without a version", EXAMPLE),
)
def create_catalogue(ask: Ask) -> Reply:
    """Add a catalogue, to which price lists can then be sent"""
    row = add_catalogue(ask.session, ask.scope, ask.body["name"], ask.body["supplier_id"])
    if ask.body["archived"]:
        row = _changed(ask, row.id, None)
    return Reply(row, row.version, f"/api/v1/catalogues/{row.id}")


@operation(catalogues, Operation("GET", "/<uuid:catalogue_id>", CatalogueRowSchema))
def show_catalogue(ask: Ask, catalogue_id: UUID) -> Reply:
    """Show a catalogue"""
    row = find_catalogue(ask.session, ask.scope, catalogue_id)
    return Reply(row, row.version)


@operation(
    catalogues,
    Operation("PUT", "/<uuid:catalogue_id>", CatalogueRowSchema, body=CatalogueBody, if_match=True),
    documented=Documented("The catalogue as it is now", EXAMPLE),
)
def replace_catalogue(ask: Ask, catalogue_id: UUID) -> Reply:
    """Rename a catalogue, say whose it is, put it aside"""
    row = find_catalogue(ask.session, ask.scope, catalogue_id)
    row = _changed(ask, catalogue_id, ask.condition.version(row.version))
    return Reply(row, row.version)


@operation(catalogues, Operation("DELETE", "/<uuid:catalogue_id>", None, 204, if_match=True))
def delete_catalogue(ask: Ask, catalogue_id: UUID) -> Reply:
    """Remove a catalogue without versions"""
    row = find_catalogue(ask.session, ask.scope, catalogue_id)
    remove_catalogue(ask.session, ask.scope, catalogue_id, ask.condition.version(row.version))
    return Reply()


def _changed(ask: Ask, catalogue_id: UUID, version: int | None) -> CatalogueRow:
    return change_catalogue(
        ask.session,
        ask.scope,
        catalogue_id,
        version,
        name=ask.body["name"],
        supplier_id=ask.body["supplier_id"],
        archived=ask.body["archived"],
    )
