"""Documents of a quote's revision. What was sent to the customer is kept as it was sent."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.documents.every_document import PDF, write_document
from estimator.documents.paper_words import quote_words
from estimator.documents.pdf import Letterhead, Sheet
from estimator.quotes.states import QuoteState
from estimator.store.customers import find_customer
from estimator.store.files import add_file
from estimator.store.organisations import find_organisation
from estimator.store.quote_revisions import find_revision, find_revisions
from estimator.store.quote_steps import send_quote
from estimator.store.scope import Scope
from estimator.store.tables.quotes import QuoteRevisionRow, QuoteRow
from estimator.store.tables.work import StoredFileRow
from estimator.stored.quoting import compute_again

QUOTE = "quote.pdf"
_MOST_LINES = 8
# A customer sees what was sent, never a draft.
_SHOWN: frozenset[QuoteState] = frozenset({"sent", "accepted", "declined", "expired"})


def revision_paper(
    session: Session, scope: Scope, quote: QuoteRow, revision: QuoteRevisionRow, name: str
) -> bytes:
    """A document of a revision, by one of the names of DOCUMENTS.

    The quote that was sent is the file that was sent; others are made from what was kept.
    Raises NotTheSame where they would show something else by now.
    """
    if name == QUOTE:
        kept = kept_quote(session, scope, revision)
        if kept is not None:
            return kept
    sheet = sheet_of(session, scope, quote, revision)
    return write_document(name, compute_again(session, scope, revision), sheet)


def send(
    session: Session, scope: Scope, quote_id: UUID, today: date, version: int | None, why: str = ""
) -> QuoteRow:
    """Send a quote, and keep its paper as it goes to the customer.

    Raises NotTheSame, and what ``send_quote`` raises.
    """
    quote = send_quote(session, scope, quote_id, today, version, why)
    revision = find_revision(session, scope, quote.id, quote.newest)
    data = revision_paper(session, scope, quote, revision, QUOTE)
    add_file(session, scope, _file_name(revision), PDF, data)
    return quote


def customers_revision(session: Session, scope: Scope, quote_id: UUID) -> QuoteRevisionRow | None:
    """The revision that the customer sees: the last that was sent, None before that."""
    revisions = find_revisions(session, scope, quote_id)
    return next((each for each in reversed(revisions) if each.state in _SHOWN), None)


def kept_quote(session: Session, scope: Scope, revision: QuoteRevisionRow) -> bytes | None:
    """The quote as it was sent; None where it was not."""
    row = session.scalars(
        scope.rows(StoredFileRow).where(StoredFileRow.name == _file_name(revision))
    ).first()
    return None if row is None else row.content


def sheet_of(session: Session, scope: Scope, quote: QuoteRow, revision: QuoteRevisionRow) -> Sheet:
    """How papers of a revision are headed: by the organisation, to the customer."""
    office = find_organisation(session, scope)
    settings: Mapping[str, Any] = office.settings
    lines = str(settings.get("head", "")).splitlines()[:_MOST_LINES]
    number = quote.number if revision.number == 1 else f"{quote.number}, rev. {revision.number}"
    customer: tuple[str, ...] = ()
    if quote.customer_id is not None:
        row = find_customer(session, scope, quote.customer_id)
        customer = (row.name, *row.address.splitlines()[:_MOST_LINES])
    return Sheet(Letterhead(office.name, tuple(lines)), number=number, customer=customer)


def _file_name(revision: QuoteRevisionRow) -> str:
    return f"quotes/{revision.quote_id}/{revision.number}/{QUOTE}"


def customers_view(snapshot: Mapping[str, Any]) -> list[dict[str, str]]:
    """What each group of work costs the customer, without costs of the office's own."""
    words = quote_words().groups
    return [
        {"what": words[group["group"]], "amount": group["net"]}
        for group in snapshot["result"]["price"]["groups"]
        if Decimal(group["net"])
    ]
