"""Versions of a catalogue: send a list, see what was read, hold two against each other."""

from dataclasses import asdict
from typing import Any
from uuid import UUID

from flask_smorest import Blueprint

from estimator.catalogue.columns.mapping_file import mapping_document
from estimator.documents.difference_report import difference_document
from estimator.store.catalogues import (
    find_catalogue,
    put_in_force,
    remove_catalogue_version,
)
from estimator.store.errors import NotFound
from estimator.store.list_report import price_list_of
from estimator.store.tables.catalogues import CatalogueVersionRow
from estimator.stored.price_lists import (
    compare_versions,
    doubtful_prices,
    import_list,
    propose_columns,
)
from estimator.web.api.catalogue_schemas import (
    ColumnsSchema,
    DifferenceQuery,
    ListDifferenceSchema,
    ListFindingsSchema,
    VersionRowSchema,
    VersionSchema,
)
from estimator.web.api.listing import PageQuery, list_page, page_of
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.sent_list import UPLOADS, SentListQuery, sent_list

catalogue_versions = Blueprint(
    "catalogue versions",
    __name__,
    url_prefix="/api/v1/catalogues/<uuid:catalogue_id>",
    description="Price lists as they came; each is a version that never changes",
)
NUMBER = "/versions/<int(min=1, max=999999999):number>"
_COLUMNS = {
    "number": CatalogueVersionRow.number,
    "imported_at": CatalogueVersionRow.imported_at,
    "items": CatalogueVersionRow.items,
}


@operation(
    catalogue_versions,
    Operation("POST", "/columns", ColumnsSchema, query=SentListQuery, uploads=UPLOADS,
              stores=False),
    documented=Documented("What each column is taken for, to be corrected and sent along"),
)  # fmt: skip
def show_columns(ask: Ask, catalogue_id: UUID) -> Reply:
    """Look what the columns of a price list seem to hold; keeps nothing"""
    mappings = propose_columns(ask.session, ask.scope, catalogue_id, sent_list(ask))
    return Reply({"column_mapping": mapping_document(mappings)}, plain=True)


@operation(
    catalogue_versions,
    Operation("POST", "/versions", VersionSchema, 201, query=SentListQuery, uploads=UPLOADS),
    documented=Documented(
        "The new version, in force now",
        instead={200: "The version that this file made before; nothing was changed"},
    ),
)
def import_version(ask: Ask, catalogue_id: UUID) -> Reply:
    """Send a price list: all of it becomes the version in force, or nothing does"""
    imported = import_list(ask.session, ask.scope, catalogue_id, sent_list(ask))
    row = imported.version
    location = f"/api/v1/catalogues/{catalogue_id}/versions/{row.number}"
    document = told(row) | {"already": imported.already}
    return Reply(document, location=location, status=200 if imported.already else 201)


@operation(
    catalogue_versions,
    Operation("GET", "/versions", page_of(VersionRowSchema), query=PageQuery),
)
def list_versions(ask: Ask, catalogue_id: UUID) -> Reply:
    """List the versions of a catalogue, the newest first"""
    find_catalogue(ask.session, ask.scope, catalogue_id)
    where = CatalogueVersionRow.catalogue_id == catalogue_id
    return list_page(ask, CatalogueVersionRow, _COLUMNS, "-number", where)


@operation(catalogue_versions, Operation("GET", NUMBER, VersionSchema))
def show_version(ask: Ask, catalogue_id: UUID, number: int) -> Reply:
    """Show a version with every row that is no item, and why"""
    return Reply(told(find_version(ask, catalogue_id, number)) | {"already": True})


@operation(catalogue_versions, Operation("DELETE", NUMBER, None, 204))
def delete_version(ask: Ask, catalogue_id: UUID, number: int) -> Reply:
    """Remove a version that no quote was priced from"""
    row = find_version(ask, catalogue_id, number)
    remove_catalogue_version(ask.session, ask.scope, row.id)
    return Reply()


@operation(catalogue_versions, Operation("POST", NUMBER + "/in-force", VersionRowSchema))
def put_version_in_force(ask: Ask, catalogue_id: UUID, number: int) -> Reply:
    """Price from this version from now on"""
    row = find_version(ask, catalogue_id, number)
    put_in_force(ask.session, ask.scope, row)
    return Reply(row)


@operation(
    catalogue_versions,
    Operation("GET", NUMBER + "/difference", ListDifferenceSchema, query=DifferenceQuery),
)
def show_difference(ask: Ask, catalogue_id: UUID, number: int) -> Reply:
    """Show what a version changes against another of the same catalogue"""
    new = find_version(ask, catalogue_id, number)
    old = find_version(ask, catalogue_id, ask.query["against"] or number - 1)
    found = compare_versions(ask.session, ask.scope, old.id, new.id)
    return Reply(difference_document(found), plain=True)


@operation(
    catalogue_versions,
    Operation("GET", NUMBER + "/findings", ListFindingsSchema),
    documented=Documented("Prices that are out of line with those of goods like them"),
)
def show_findings(ask: Ask, catalogue_id: UUID, number: int) -> Reply:
    """Look for prices that seem to be for another unit than the list says"""
    row = find_version(ask, catalogue_id, number)
    found = doubtful_prices(ask.session, ask.scope, row)
    return Reply({"rows": found})


def find_version(ask: Ask, catalogue_id: UUID, number: int) -> CatalogueVersionRow:
    """A version of a catalogue by its number. Raises NotFound."""
    find_catalogue(ask.session, ask.scope, catalogue_id)
    row = ask.session.scalars(
        ask.scope.rows(CatalogueVersionRow).where(
            CatalogueVersionRow.catalogue_id == catalogue_id,
            CatalogueVersionRow.number == number,
        )
    ).first()
    if row is None:
        raise NotFound("version", number)
    return row


def told(row: CatalogueVersionRow) -> dict[str, Any]:
    """A version with its report, for its schema."""
    read = price_list_of(row, ())
    return {
        **{column.key: getattr(row, column.key) for column in row.__mapper__.column_attrs},
        "rejected": [asdict(each) for each in read.rejected],
        "unread": [
            asdict(each) | {"item_number": each.number, "known": dict(each.known)}
            for each in read.unread
        ],
        "doubts": [asdict(each) for each in read.doubts],
        "passed_over": [asdict(each) for each in read.passed_over],
        "rows_passed_over": read.rows_passed_over,
        "rows_blank": read.rows_blank,
        "sheets_left_out": [asdict(each) for each in read.left_out],
        "read_as": read.read_as,
        "column_mapping": mapping_document(read.mappings),
    }
