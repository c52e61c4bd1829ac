"""Two safeguards of every session: no query without an organisation, no change of history."""

from typing import Any

from sqlalchemy import event, inspect
from sqlalchemy.orm import ORMExecuteState, Session, with_loader_criteria

from estimator.store.errors import Immutable, UnscopedQuery
from estimator.store.tables.base import OwnedRow
from estimator.store.tables.catalogues import CatalogueItemRow
from estimator.store.tables.jobs import JobVersionRow
from estimator.store.tables.own_documents import OwnDocumentVersionRow
from estimator.store.tables.quotes import QuoteEventRow, QuoteRevisionRow, RevisionCatalogueRow
from estimator.store.tables.work import AuditEntryRow

# Execution options of a statement: the organisation that it is for, or that it is for all.
ORGANISATION = "estimator_organisation"
EVERY_ORGANISATION = "estimator_every_organisation"

# Rows that never change once written, and the columns of them that may.
_IMMUTABLE: dict[type[OwnedRow], frozenset[str]] = {
    JobVersionRow: frozenset(),
    OwnDocumentVersionRow: frozenset(),
    CatalogueItemRow: frozenset(),
    QuoteRevisionRow: frozenset({"state"}),
    RevisionCatalogueRow: frozenset(),
    QuoteEventRow: frozenset(),
    AuditEntryRow: frozenset(),
}


def guard_session(session: Session) -> None:
    """Watch over a new session."""
    event.listen(session, "do_orm_execute", _check_scope)
    event.listen(session, "before_flush", _check_history)


def _check_scope(state: ORMExecuteState) -> None:
    """Raises UnscopedQuery; adds the organisation to every table of the query, also joined ones."""
    if state.is_column_load or state.is_relationship_load:
        return
    owned = [each for each in state.all_mappers if issubclass(each.class_, OwnedRow)]
    options = state.execution_options
    if not owned or options.get(EVERY_ORGANISATION):
        return
    organisation = options.get(ORGANISATION)
    if organisation is None:
        names = ", ".join(each.class_.__name__ for each in owned)
        raise UnscopedQuery(f"A query of {names} does not say of which organisation.")
    state.statement = state.statement.options(
        with_loader_criteria(
            OwnedRow, lambda row: row.organisation_id == organisation, include_aliases=True
        )
    )


def _check_history(session: Session, _context: object, _instances: object) -> None:
    changed: list[Any] = [row for row in session.dirty if session.is_modified(row)]
    for row in (*changed, *session.deleted):
        allowed = _IMMUTABLE.get(type(row))
        if allowed is None:
            continue
        touched = {each.key for each in inspect(row).attrs if each.history.has_changes()}
        if row in session.deleted or touched - allowed:
            raise Immutable(f"{type(row).__name__} never changes; make a new one.")
