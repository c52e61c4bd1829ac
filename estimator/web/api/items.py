"""Items of catalogues, found by their words."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate

from estimator.job.schema_fields import Text
from estimator.store.catalogues import find_item, versions_in_force
from estimator.store.item_rows import item_of
from estimator.store.item_search import find_items
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueVersionRow
from estimator.units import plain
from estimator.web.api.catalogue_versions import NUMBER, find_version
from estimator.web.api.field_kinds import answered, answered_id, day
from estimator.web.api.listing import PageQuery, asked_page, page_of, paged
from estimator.web.api.operation import Ask, Operation, Reply, operation

items = Blueprint(
    "items",
    __name__,
    url_prefix="/api/v1",
    description="What price lists offer, found by words of the description or by number",
)
_VERSION = f"/catalogues/<uuid:catalogue_id>{NUMBER}/items"
_COLUMNS = {
    "place": CatalogueItemRow.place,
    "item_number": CatalogueItemRow.number,
    "description": CatalogueItemRow.description,
    "unit_price": CatalogueItemRow.unit_price,
}


class ItemQuery(PageQuery):
    """Which items."""

    search = Text(
        load_default="",
        validate=validate.Length(max=100),
        metadata={
            "description": "words of the description or number, or how they begin; an item is "
            "found that has all of them, whatever the letter case",
            "example": "thhn bla",
        },
    )
    kind = Text(
        load_default="",
        validate=validate.Length(max=100),
        metadata={"description": "kind of part", "example": "conductor"},
    )


class BreakSchema(Schema):
    """A price from a number of packs on."""

    from_packs = answered(fields.Integer, "packs", 4)
    unit_price = answered(fields.String, "of one unit", "0.4010")


class ItemSchema(Schema):
    """An item of a price list."""

    catalogue_version = answered_id("identifier of its version")
    place = answered(fields.Integer, "in its list, from 1", 59)
    row = answered(fields.Integer, "row of the file", 60)
    item_number = answered(fields.String, "supplier's number", "NC-0059")
    supplier = answered(fields.String, "whose it is", "North Counter (invented)")
    description = answered(fields.String, "as in the list", "10 AWG THHN stranded, black")
    kind = answered(fields.String, "kind of part", "conductor")
    attributes = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        required=True,
        metadata={"description": "what it is", "example": {"size": "10 AWG"}},
    )
    unit = answered(fields.String, "what is counted", "ft")
    unit_price = answered(fields.String, "of one unit, four places", "0.4100")
    currency = answered(fields.String, "three letters", "USD")
    pack = answered(fields.String, "units sold at once", "500")
    breaks = fields.List(fields.Nested(BreakSchema), required=True)
    valid_from = day("first day of the price", nullable=True)
    valid_until = day("last day of the price", nullable=True)
    discontinued = answered(fields.Boolean, "no longer sold", False)
    read_from = answered(fields.String, "where it is known from what it is", "columns")


@operation(items, Operation("GET", "/items", page_of(ItemSchema), query=ItemQuery))
def list_items(ask: Ask) -> Reply:
    """Find items in the versions in force of all catalogues"""
    return _found(ask, versions_in_force(ask.session, ask.scope))


@operation(items, Operation("GET", _VERSION, page_of(ItemSchema), query=ItemQuery))
def list_version_items(ask: Ask, catalogue_id: UUID, number: int) -> Reply:
    """Find items in one version of a catalogue"""
    return _found(ask, [find_version(ask, catalogue_id, number)])


@operation(items, Operation("GET", _VERSION + "/<int(min=1, max=999999999):place>", ItemSchema))
def show_item(ask: Ask, catalogue_id: UUID, number: int, place: int) -> Reply:
    """Show an item by its place in its list"""
    version = find_version(ask, catalogue_id, number)
    row = find_item(ask.session, ask.scope, version.id, place)
    return Reply(_told(row, {version.item_set: version.id}))


def _found(ask: Ask, versions: Iterable[CatalogueVersionRow]) -> Reply:
    versions = list(versions)
    page = asked_page(ask, _COLUMNS, "place")
    found = find_items(
        ask.session, ask.scope, versions, page, _COLUMNS,
        search=ask.query["search"], kind=ask.query["kind"],
    )  # fmt: skip
    sets = {each.item_set: each.id for each in versions}
    return paged([_told(row, sets) for row in found.rows], found.total, page)


def _told(row: CatalogueItemRow, versions: dict[int, UUID]) -> dict[str, Any]:
    item = item_of(row)
    return {
        "catalogue_version": versions[row.item_set],
        "place": row.place,
        "row": item.row,
        "item_number": item.number,
        "supplier": item.supplier,
        "description": item.description,
        "kind": item.kind,
        "attributes": dict(item.attributes),
        "unit": item.unit,
        "unit_price": str(item.unit_price),
        "currency": item.currency,
        "pack": plain(item.pack),
        "breaks": [
            {"from_packs": each.from_packs, "unit_price": str(each.unit_price)}
            for each in item.breaks
        ],
        "valid_from": item.valid_from,
        "valid_until": item.valid_until,
        "discontinued": item.discontinued,
        "read_from": item.read_from,
    }
