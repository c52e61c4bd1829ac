"""Suppliers with their terms and the columns of their lists."""

from uuid import UUID

from sqlalchemy.orm import Session

from estimator.catalogue.records import SupplierTerms
from estimator.store.audit import note
from estimator.store.scope import Scope, add, find, find_to_change, keep, remove
from estimator.store.tables.base import Json
from estimator.store.tables.suppliers import ColumnMappingRow, SupplierRow, SupplierTermsRow


def supplier_of(session: Session, scope: Scope, name: str) -> SupplierRow:
    """The supplier of this name, whatever its letter case; made when there is none."""
    key = name.strip().casefold()
    row = session.scalars(scope.rows(SupplierRow).where(SupplierRow.name_key == key)).first()
    return row or add_supplier(session, scope, name)


def add_supplier(session: Session, scope: Scope, name: str, remark: str = "") -> SupplierRow:
    """A new supplier. Raises Conflict for a name that is taken."""
    row = SupplierRow(name=name.strip(), name_key=name.strip().casefold(), note=remark)
    add(session, scope, row, taken=f"There is a supplier {name.strip()!r} already.")
    note(session, scope, "added", "supplier", row.id)
    return row


def find_supplier(session: Session, scope: Scope, supplier_id: UUID) -> SupplierRow:
    """Raises NotFound."""
    return find(session, scope, SupplierRow, supplier_id, what="supplier")


def change_supplier(
    session: Session,
    scope: Scope,
    supplier_id: UUID,
    version: int | None,
    *,
    name: str,
    remark: str,
    archived: bool,
) -> SupplierRow:
    """Rename it, note something, put it aside. Raises NotFound, StaleVersion, Conflict."""
    row = find_to_change(session, scope, SupplierRow, supplier_id, what="supplier", version=version)
    row.name, row.name_key, row.note = name.strip(), name.strip().casefold(), remark
    row.archived_at = (row.archived_at or scope.at) if archived else None
    keep(session, scope, row, taken=f"There is a supplier {name.strip()!r} already.")
    note(session, scope, "changed", "supplier", row.id)
    return row


def remove_supplier(session: Session, scope: Scope, supplier_id: UUID, version: int | None) -> None:
    """Remove a supplier with its terms and confirmed matches. Raises Conflict with catalogues."""
    row = find_to_change(session, scope, SupplierRow, supplier_id, what="supplier", version=version)
    remove(session, scope, row, used="The supplier has catalogues; archive it instead.")
    note(session, scope, "removed", "supplier", supplier_id)


def keep_terms(
    session: Session, scope: Scope, supplier_id: UUID, terms: SupplierTerms
) -> SupplierTermsRow:
    """Put a supplier's terms in one currency in place of what they were. Raises NotFound."""
    find_supplier(session, scope, supplier_id)
    key = (scope.organisation_id, supplier_id, terms.currency)
    row = session.get(SupplierTermsRow, key, execution_options=scope.options)
    asked = (terms.minimum_order, terms.delivery_fee, terms.free_delivery_from)
    if row is None:
        row = SupplierTermsRow(
            supplier_id=supplier_id,
            currency=terms.currency,
            minimum_order=asked[0],
            delivery_fee=asked[1],
            free_delivery_from=asked[2],
        )
        add(session, scope, row)
    else:
        row.minimum_order, row.delivery_fee, row.free_delivery_from = asked
        keep(session, scope, row)
    note(session, scope, "terms changed", "supplier", supplier_id, currency=terms.currency)
    return row


def all_terms(session: Session, scope: Scope) -> tuple[SupplierTerms, ...]:
    """The terms of all suppliers in all currencies, ready for a purchase plan."""
    names = {row.id: row.name for row in session.scalars(scope.rows(SupplierRow))}
    rows = session.scalars(
        scope.rows(SupplierTermsRow).order_by(
            SupplierTermsRow.supplier_id, SupplierTermsRow.currency
        )
    )
    return tuple(
        SupplierTerms(
            supplier=names[row.supplier_id],
            minimum_order=row.minimum_order,
            delivery_fee=row.delivery_fee,
            free_delivery_from=row.free_delivery_from,
            currency=row.currency,
        )
        for row in rows
    )


def keep_mapping(
    session: Session, scope: Scope, supplier_id: UUID, header_digest: str, mapping: Json
) -> ColumnMappingRow:
    """Remember how a header row of a supplier's lists is read. Raises NotFound."""
    find_supplier(session, scope, supplier_id)
    row = mapping_for(session, scope, supplier_id, header_digest)
    if row is None:
        row = ColumnMappingRow(
            supplier_id=supplier_id, header_digest=header_digest, mapping=mapping
        )
        return add(session, scope, row)
    row.mapping = mapping
    keep(session, scope, row)
    return row


def mapping_for(
    session: Session, scope: Scope, supplier_id: UUID, header_digest: str
) -> ColumnMappingRow | None:
    """What is remembered of a header row; None for one that nobody has seen yet."""
    return session.scalars(
        scope.rows(ColumnMappingRow).where(
            ColumnMappingRow.supplier_id == supplier_id,
            ColumnMappingRow.header_digest == header_digest,
        )
    ).first()
