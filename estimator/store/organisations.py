"""Organisations: begin one, change it, take all its data out."""

from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from estimator.store.errors import NotFound, StaleVersion
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.scope import Scope, flush
from estimator.store.tables.base import Json
from estimator.store.tables.organisations import MembershipRow, OrganisationRow, PersonRow

# Nobody chose it, so it is no name to put on anything.
LOCAL_NAME = "My estimates"


def add_organisation(session: Session, name: str, at: datetime) -> OrganisationRow:
    """A new organisation without people."""
    row = OrganisationRow(name=name, settings={}, created_at=at, changed_at=at)
    session.add(row)
    flush(session)
    return row


def local_organisation(session: Session, at: datetime) -> OrganisationRow:
    """The one organisation of a database that one person uses; made when there is none."""
    first = session.scalars(select(OrganisationRow).order_by(OrganisationRow.id).limit(1)).first()
    return first or add_organisation(session, LOCAL_NAME, at)


def find_organisation(session: Session, scope: Scope) -> OrganisationRow:
    """The organisation of the scope. Raises NotFound."""
    row = session.get(OrganisationRow, scope.organisation_id)
    if row is None:
        raise NotFound("organisation", scope.organisation_id)
    return row


def change_organisation(
    session: Session, scope: Scope, name: str, settings: Json, version: int | None
) -> OrganisationRow:
    """Rename it, or change its settings. Raises NotFound, StaleVersion."""
    row = find_organisation(session, scope)
    if version is not None and row.version != version:
        raise StaleVersion("organisation", row.id, row.version)
    row.name, row.settings, row.changed_at = name, settings, scope.at
    flush(session)
    return row


def delete_organisation(session: Session, scope: Scope) -> None:
    """Remove the organisation with all its rows, and people who are in no other. Final."""
    members = session.scalars(
        scope.rows(MembershipRow).with_only_columns(MembershipRow.person_id)
    ).all()
    find_organisation(session, scope)
    # One statement: the database removes all its rows, which may be millions.
    session.execute(delete(OrganisationRow).where(OrganisationRow.id == scope.organisation_id))
    elsewhere = select(MembershipRow.person_id)
    session.execute(
        delete(PersonRow)
        .where(PersonRow.id.in_(members), PersonRow.id.not_in(elsewhere))
        .execution_options(**{EVERY_ORGANISATION: True}, synchronize_session=False)
    )
