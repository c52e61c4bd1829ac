"""Customers' links: whoever holds one sees that one quote, until it expires or is revoked."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.store.audit import note
from estimator.store.errors import NoLongerValid, NotFound
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.quotes import find_quote
from estimator.store.scope import Scope, add, find, flush
from estimator.store.secrets import Secret, new_secret, secret_hash
from estimator.store.tables.quotes import CustomerLinkRow

_REFUSED = "This link is not valid, or no longer so. Ask who sent it for a new one."


@dataclass(frozen=True, slots=True)
class OpenedLink:
    """What a link lets its holder do: see and answer one quote, in the name of the customer."""

    scope: Scope
    link_id: UUID
    quote_id: UUID


def add_link(
    session: Session, scope: Scope, quote_id: UUID, expires_at: datetime
) -> tuple[CustomerLinkRow, Secret]:
    """A new link to a quote, and its secret, which cannot be had again. Raises NotFound."""
    find_quote(session, scope, quote_id)
    secret = new_secret("q_")
    row = CustomerLinkRow(
        quote_id=quote_id,
        token_hash=secret.hash,
        created_at=scope.at,
        by_person=scope.person_id,
        expires_at=expires_at,
    )
    add(session, scope, row)
    note(session, scope, "link made", "quote", quote_id, link=str(row.id))
    return row, secret


def open_link(session: Session, text: str, at: datetime) -> OpenedLink:
    """The quote behind the secret of a link. Raises NoLongerValid, whatever is wrong with it."""
    row = session.scalars(
        select(CustomerLinkRow)
        .where(CustomerLinkRow.token_hash == secret_hash(text))
        .execution_options(**{EVERY_ORGANISATION: True})
    ).one_or_none()
    if row is None or row.revoked_at is not None or row.expires_at <= at:
        raise NoLongerValid(_REFUSED)
    scope = Scope(row.organisation_id, at, None, "customer, by link")
    return OpenedLink(scope, row.id, row.quote_id)


def link_seen(session: Session, opened: OpenedLink) -> None:
    """Keep that the customer looked at the quote."""
    row = find(session, opened.scope, CustomerLinkRow, opened.link_id, what="link")
    row.seen_at = opened.scope.at
    flush(session)


def revoke_link(session: Session, scope: Scope, quote_id: UUID, link_id: UUID) -> CustomerLinkRow:
    """Make a link of a quote useless, from now on. Raises NotFound."""
    row = find(session, scope, CustomerLinkRow, link_id, what="link")
    if row.quote_id != quote_id:
        raise NotFound("link", link_id)
    row.revoked_at = row.revoked_at or scope.at
    flush(session)
    note(session, scope, "link revoked", "quote", row.quote_id, link=str(row.id))
    return row
