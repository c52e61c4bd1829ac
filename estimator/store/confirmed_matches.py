"""What people said that suppliers' items are: remembered once, used ever after."""

from collections.abc import Iterable, Mapping
from uuid import UUID

from sqlalchemy import ColumnElement
from sqlalchemy.orm import Session

from estimator.catalogue.describe_row import Confirmed
from estimator.store.audit import note
from estimator.store.item_match import match_hash, unit_of
from estimator.store.item_rows import pairs
from estimator.store.scope import Scope, add, find, flush
from estimator.store.suppliers import supplier_of
from estimator.store.tables.suppliers import ConfirmedMatchRow, SupplierRow
from estimator.takeoff.records import Attributes


def confirm_match(
    session: Session, scope: Scope, supplier: str, number: str, kind: str, attributes: Attributes
) -> ConfirmedMatchRow:
    """Remember what an item of a supplier (by name) is, in place of what was said before.

    attributes: all of the kind, in its order. Raises KeyError for a kind unknown.
    """
    owner = supplier_of(session, scope, supplier)
    key = (scope.organisation_id, owner.id, number)
    row = session.get(ConfirmedMatchRow, key, execution_options=scope.options)
    said = {
        "kind": kind,
        "attributes": [list(each) for each in attributes],
        "match_hash": match_hash(kind, unit_of(kind), attributes),
        "confirmed_at": scope.at,
        "by_person": scope.person_id,
    }
    if row is None:
        row = ConfirmedMatchRow(supplier_id=owner.id, item_number=number, **said)
        add(session, scope, row)
    else:
        for name, value in said.items():
            setattr(row, name, value)
        flush(session)
    note(session, scope, "confirmed", "match", f"{supplier}: {number}", kind=kind)
    return row


def forget_match(session: Session, scope: Scope, supplier_id: UUID, number: str) -> None:
    """Take back what was said of an item. Raises NotFound."""
    row = find(session, scope, ConfirmedMatchRow, supplier_id, number, what="confirmed match")
    session.delete(row)
    flush(session)
    note(session, scope, "taken back", "match", f"{supplier_id}: {number}")


def all_confirmed(session: Session, scope: Scope) -> Confirmed:
    """Everything that was confirmed, as the reader of price lists takes it."""
    return _read(session, scope)


def confirmed_as(session: Session, scope: Scope, hashes: Iterable[int]) -> Confirmed:
    """The items that are confirmed to be one of some parts."""
    return _read(session, scope, ConfirmedMatchRow.match_hash.in_(list(hashes)))


def confirmed_of(session: Session, scope: Scope, numbers: Iterable[str]) -> Confirmed:
    """What is confirmed of items with these numbers, whoever sells them."""
    return _read(session, scope, ConfirmedMatchRow.item_number.in_(list(numbers)))


def _read(session: Session, scope: Scope, *where: ColumnElement[bool]) -> Confirmed:
    rows = session.scalars(scope.rows(ConfirmedMatchRow).where(*where)).all()
    if not rows:
        return {}
    names: Mapping[UUID, str] = {
        row.id: row.name_key for row in session.scalars(scope.rows(SupplierRow))
    }
    return {
        (names[row.supplier_id], row.item_number): (row.kind, pairs(row.attributes)) for row in rows
    }
