"""Quotes with their immutable revisions, what happened to each, and customers' links."""

from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from sqlalchemy import JSON, Index, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.quotes.states import QuoteState
from estimator.store.column_types import Money, PackedText
from estimator.store.tables.base import Json, NamedRow, OwnedRow, Versioned, one_of, refers


class CounterRow(OwnedRow):
    """The last number that was given out of a sequence without holes."""

    __tablename__ = "counters"

    name: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[int]


class QuoteRow(Versioned, NamedRow):
    """A quote under its number. state and what follows: of its newest revision."""

    __tablename__ = "quotes"
    __table_args__ = (
        refers("jobs", "job_id"),
        refers("customers", "customer_id"),
        one_of("state", QuoteState),
        UniqueConstraint("organisation_id", "year", "sequence"),
        Index(None, "organisation_id", "state", "valid_until"),
        Index(None, "organisation_id", "job_id"),
        Index(None, "organisation_id", "customer_id"),
    )

    year: Mapped[int]
    sequence: Mapped[int]
    number: Mapped[str]
    title: Mapped[str]
    job_id: Mapped[UUID | None]
    customer_id: Mapped[UUID | None]
    copied_from: Mapped[UUID | None]
    newest: Mapped[int]
    state: Mapped[QuoteState] = mapped_column(Text)
    currency: Mapped[str]
    total: Mapped[Decimal] = mapped_column(Money(2))
    complete: Mapped[bool]
    valid_until: Mapped[date]


class QuoteRevisionRow(OwnedRow):
    """One revision, whole. Only its state ever changes.

    snapshot: JSON text of job, result and basis, byte for byte as it was made. basis: versions
    of the program, tables, rules and catalogues. stated: shortcomings that the document states.
    """

    __tablename__ = "quote_revisions"
    __table_args__ = (
        refers("quotes", "quote_id", on_delete="CASCADE"),
        one_of("state", QuoteState),
    )

    quote_id: Mapped[UUID] = mapped_column(primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    state: Mapped[QuoteState] = mapped_column(Text)
    snapshot: Mapped[str] = mapped_column(PackedText)
    snapshot_digest: Mapped[str]
    basis: Mapped[Json]
    stated: Mapped[list[str]] = mapped_column(JSON)
    job_version: Mapped[int | None]
    currency: Mapped[str]
    total: Mapped[Decimal] = mapped_column(Money(2))
    complete: Mapped[bool]
    valid_until: Mapped[date]
    reason: Mapped[str]
    created_at: Mapped[datetime]
    by_person: Mapped[UUID | None]


class RevisionCatalogueRow(OwnedRow):
    """A catalogue version that a revision was priced from; it cannot be removed any more."""

    __tablename__ = "revision_catalogues"
    __table_args__ = (
        refers("quote_revisions", "quote_id", "number", to=("quote_id", "number"),
               on_delete="CASCADE"),
        refers("catalogue_versions", "catalogue_version_id"),
        Index(None, "organisation_id", "catalogue_version_id"),
    )  # fmt: skip

    quote_id: Mapped[UUID] = mapped_column(primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    catalogue_version_id: Mapped[UUID] = mapped_column(primary_key=True)


class QuoteEventRow(NamedRow):
    """A change of a revision's state: who, when, why. link_id: of the customer's link used."""

    __tablename__ = "quote_events"
    __table_args__ = (
        refers("quote_revisions", "quote_id", "revision", to=("quote_id", "number"),
               on_delete="CASCADE"),
        Index(None, "organisation_id", "quote_id"),
        one_of("after", QuoteState),
    )  # fmt: skip

    quote_id: Mapped[UUID]
    revision: Mapped[int]
    before: Mapped[str | None]
    after: Mapped[QuoteState] = mapped_column(Text)
    at: Mapped[datetime]
    by_person: Mapped[UUID | None]
    by_name: Mapped[str]
    link_id: Mapped[UUID | None]
    note: Mapped[str]


class CustomerLinkRow(NamedRow):
    """A link that shows one quote to whoever holds it; only the hash of its secret is kept."""

    __tablename__ = "customer_links"
    __table_args__ = (
        refers("quotes", "quote_id", on_delete="CASCADE"),
        UniqueConstraint("token_hash"),
        Index(None, "organisation_id", "quote_id"),
    )

    quote_id: Mapped[UUID]
    token_hash: Mapped[bytes]
    created_at: Mapped[datetime]
    by_person: Mapped[UUID | None]
    expires_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]
    seen_at: Mapped[datetime | None]
