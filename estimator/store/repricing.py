"""Open quotes whose prices come from a catalogue version that is no longer in force."""

from collections.abc import Sequence
from uuid import UUID

from sqlalchemy import Select
from sqlalchemy.orm import Session

from estimator.quotes.states import OPEN
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueVersionRow
from estimator.store.tables.quotes import QuoteRow, RevisionCatalogueRow


def outdated_quotes(session: Session, scope: Scope, catalogue_id: UUID) -> Sequence[UUID]:
    """Quotes (draft or sent) whose newest revision has old prices of a catalogue, in order."""
    found = _outdated(scope).where(CatalogueVersionRow.catalogue_id == catalogue_id)
    columns = found.with_only_columns(QuoteRow.id).distinct().order_by(QuoteRow.id)
    return session.scalars(columns).all()


def is_outdated(session: Session, scope: Scope, quote_id: UUID) -> bool:
    """Whether a quote is open and has old prices of some catalogue."""
    return session.scalars(_outdated(scope).where(QuoteRow.id == quote_id)).first() is not None


def _outdated(scope: Scope) -> Select[QuoteRow]:
    return (
        scope.rows(QuoteRow)
        .join(
            RevisionCatalogueRow,
            (RevisionCatalogueRow.organisation_id == QuoteRow.organisation_id)
            & (RevisionCatalogueRow.quote_id == QuoteRow.id)
            & (RevisionCatalogueRow.number == QuoteRow.newest),
        )
        .join(
            CatalogueVersionRow,
            (CatalogueVersionRow.organisation_id == QuoteRow.organisation_id)
            & (CatalogueVersionRow.id == RevisionCatalogueRow.catalogue_version_id),
        )
        .where(CatalogueVersionRow.superseded_at.is_not(None), QuoteRow.state.in_(OPEN))
    )
