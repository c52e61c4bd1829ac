"""Suppliers and what is remembered about each: terms, columns, confirmed matches."""

from datetime import datetime
from decimal import Decimal
from uuid import UUID

from sqlalchemy import JSON, BigInteger, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.store.column_types import Money
from estimator.store.tables.base import Json, NamedRow, OwnedRow, Versioned, refers


class SupplierRow(Versioned, NamedRow):
    """Where goods are bought. name_key: the name without regard to letter case."""

    __tablename__ = "suppliers"
    __table_args__ = (UniqueConstraint("organisation_id", "name_key"),)

    name: Mapped[str]
    name_key: Mapped[str]
    note: Mapped[str] = mapped_column(default="")
    archived_at: Mapped[datetime | None]


class SupplierTermsRow(Versioned, OwnedRow):
    """What a supplier asks beside its prices, in one currency."""

    __tablename__ = "supplier_terms"
    __table_args__ = (refers("suppliers", "supplier_id", on_delete="CASCADE"),)

    supplier_id: Mapped[UUID] = mapped_column(primary_key=True)
    currency: Mapped[str] = mapped_column(primary_key=True)
    minimum_order: Mapped[Decimal] = mapped_column(Money(2))
    delivery_fee: Mapped[Decimal] = mapped_column(Money(2))
    free_delivery_from: Mapped[Decimal | None] = mapped_column(Money(2))


class ColumnMappingRow(Versioned, NamedRow):
    """How a supplier's columns are read. header_digest: of the header row that it is for."""

    __tablename__ = "column_mappings"
    __table_args__ = (
        refers("suppliers", "supplier_id", on_delete="CASCADE"),
        UniqueConstraint("organisation_id", "supplier_id", "header_digest"),
    )

    supplier_id: Mapped[UUID]
    header_digest: Mapped[str]
    mapping: Mapped[Json]


class ConfirmedMatchRow(OwnedRow):
    """What a supplier's item is, as a person confirmed it.

    attributes: [name, value] pairs in the order of the kind. match_hash: as of an item.
    """

    __tablename__ = "confirmed_matches"
    __table_args__ = (
        refers("suppliers", "supplier_id", on_delete="CASCADE"),
        Index(None, "organisation_id", "match_hash"),
    )

    supplier_id: Mapped[UUID] = mapped_column(primary_key=True)
    item_number: Mapped[str] = mapped_column(primary_key=True)
    kind: Mapped[str]
    attributes: Mapped[list[list[str]]] = mapped_column(JSON)
    match_hash: Mapped[int] = mapped_column(BigInteger)
    confirmed_at: Mapped[datetime]
    by_person: Mapped[UUID | None]
