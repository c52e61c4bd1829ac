"""Catalogues and their versions: find, begin, put another version in force."""

from collections.abc import Sequence
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.store.audit import note
from estimator.store.scope import Scope, add, find, find_to_change, flush, keep, remove
from estimator.store.suppliers import find_supplier
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueRow, CatalogueVersionRow


def add_catalogue(
    session: Session, scope: Scope, name: str, supplier_id: UUID | None = None
) -> CatalogueRow:
    """A new catalogue without a version. Raises Conflict for a name taken, NotFound."""
    if supplier_id is not None:
        find_supplier(session, scope, supplier_id)
    row = CatalogueRow(name=name.strip(), name_key=name.strip().casefold(), supplier_id=supplier_id)
    add(session, scope, row, taken=f"There is a catalogue {name.strip()!r} already.")
    note(session, scope, "added", "catalogue", row.id)
    return row


def find_catalogue(session: Session, scope: Scope, catalogue_id: UUID) -> CatalogueRow:
    """Raises NotFound."""
    return find(session, scope, CatalogueRow, catalogue_id, what="catalogue")


def change_catalogue(
    session: Session,
    scope: Scope,
    catalogue_id: UUID,
    version: int | None,
    *,
    name: str,
    supplier_id: UUID | None,
    archived: bool,
) -> CatalogueRow:
    """Rename it, say whose it is, put it aside. Raises NotFound, StaleVersion, Conflict."""
    row = find_to_change(
        session, scope, CatalogueRow, catalogue_id, what="catalogue", version=version
    )
    if supplier_id is not None:
        find_supplier(session, scope, supplier_id)
    row.name, row.name_key, row.supplier_id = name.strip(), name.strip().casefold(), supplier_id
    row.archived_at = (row.archived_at or scope.at) if archived else None
    keep(session, scope, row, taken=f"There is a catalogue {name.strip()!r} already.")
    note(session, scope, "changed", "catalogue", row.id)
    return row


def find_catalogue_version(session: Session, scope: Scope, version_id: UUID) -> CatalogueVersionRow:
    """Raises NotFound."""
    return find(session, scope, CatalogueVersionRow, version_id, what="catalogue version")


def find_item(session: Session, scope: Scope, version_id: UUID, place: int) -> CatalogueItemRow:
    """One item of a version by its place. Raises NotFound."""
    version = find_catalogue_version(session, scope, version_id)
    return find(session, scope, CatalogueItemRow, version.item_set, place, what="item")


def versions_in_force(session: Session, scope: Scope) -> Sequence[CatalogueVersionRow]:
    """The current version of every catalogue that was not put aside, by the catalogue's name."""
    return session.scalars(
        scope.rows(CatalogueVersionRow)
        .join(
            CatalogueRow,
            (CatalogueRow.organisation_id == CatalogueVersionRow.organisation_id)
            & (CatalogueRow.id == CatalogueVersionRow.catalogue_id),
        )
        .where(CatalogueVersionRow.superseded_at.is_(None), CatalogueRow.archived_at.is_(None))
        .order_by(CatalogueRow.name_key)
    ).all()


def put_in_force(session: Session, scope: Scope, version: CatalogueVersionRow) -> None:
    """Make a version the current one of its catalogue; the one before is superseded."""
    session.execute(
        scope.updates(CatalogueVersionRow)
        .where(
            CatalogueVersionRow.catalogue_id == version.catalogue_id,
            CatalogueVersionRow.superseded_at.is_(None),
            CatalogueVersionRow.id != version.id,
        )
        .values(superseded_at=scope.at)
    )
    version.superseded_at = None
    flush(session)
    note(session, scope, "put in force", "catalogue version", version.id)


def remove_catalogue_version(session: Session, scope: Scope, version_id: UUID) -> None:
    """Remove a version with its items. Raises Conflict where a quote was priced from it."""
    row = find_catalogue_version(session, scope, version_id)
    remove(session, scope, row, used="Quotes were priced from this version; it stays.")
    note(session, scope, "removed", "catalogue version", version_id)


def remove_catalogue(
    session: Session, scope: Scope, catalogue_id: UUID, version: int | None
) -> None:
    """Remove a catalogue that has no versions. Raises NotFound, StaleVersion, Conflict."""
    row = find_to_change(
        session, scope, CatalogueRow, catalogue_id, what="catalogue", version=version
    )
    remove(session, scope, row, used="The catalogue has versions; archive it instead.")
    note(session, scope, "removed", "catalogue", catalogue_id)
