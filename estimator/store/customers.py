"""Customers of an organisation."""

from collections.abc import Mapping
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.store.audit import note
from estimator.store.scope import Scope, add, find, find_to_change, keep, remove
from estimator.store.tables.jobs import CustomerRow

FIELDS = ("name", "email", "phone", "address", "note")


def add_customer(session: Session, scope: Scope, fields: Mapping[str, str]) -> CustomerRow:
    """A new customer; fields by the names of FIELDS, at least the name."""
    row = add(session, scope, CustomerRow(**{name: fields.get(name, "") for name in FIELDS}))
    note(session, scope, "added", "customer", row.id)
    return row


def find_customer(session: Session, scope: Scope, customer_id: UUID) -> CustomerRow:
    """Raises NotFound."""
    return find(session, scope, CustomerRow, customer_id, what="customer")


def change_customer(
    session: Session,
    scope: Scope,
    customer_id: UUID,
    fields: Mapping[str, str],
    version: int | None,
) -> CustomerRow:
    """Change the given fields. Raises NotFound, StaleVersion."""
    row = find_to_change(session, scope, CustomerRow, customer_id, what="customer", version=version)
    for name in FIELDS:
        if name in fields:
            setattr(row, name, fields[name])
    keep(session, scope, row)
    note(session, scope, "changed", "customer", row.id, fields=sorted(fields))
    return row


def archive_customer(
    session: Session, scope: Scope, customer_id: UUID, version: int | None, *, archived: bool = True
) -> CustomerRow:
    """Put a customer aside, or back; jobs and quotes keep referring to it."""
    row = find_to_change(session, scope, CustomerRow, customer_id, what="customer", version=version)
    row.archived_at = scope.at if archived else None
    keep(session, scope, row)
    note(session, scope, "archived" if archived else "restored", "customer", row.id)
    return row


def remove_customer(session: Session, scope: Scope, customer_id: UUID, version: int | None) -> None:
    """Remove a customer. Raises NotFound, StaleVersion; Conflict where jobs or quotes need it."""
    row = find_to_change(session, scope, CustomerRow, customer_id, what="customer", version=version)
    remove(session, scope, row, used="The customer has jobs or quotes; archive it instead.")
    note(session, scope, "removed", "customer", customer_id)
