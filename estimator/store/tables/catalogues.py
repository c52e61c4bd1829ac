"""Catalogues, their immutable versions, and the items of each version."""

from datetime import datetime
from decimal import Decimal
from uuid import UUID

from sqlalchemy import JSON, BigInteger, Index, UniqueConstraint, false, text
from sqlalchemy.orm import Mapped, mapped_column

from estimator.store.column_types import Money, PackedText
from estimator.store.tables.base import Json, NamedRow, OwnedRow, Versioned, refers


class CatalogueRow(Versioned, NamedRow):
    """A price list that is renewed from time to time: the same list of the same supplier."""

    __tablename__ = "catalogues"
    __table_args__ = (
        refers("suppliers", "supplier_id"),
        UniqueConstraint("organisation_id", "name_key"),
    )

    name: Mapped[str]
    name_key: Mapped[str]
    supplier_id: Mapped[UUID | None]
    archived_at: Mapped[datetime | None]


class CatalogueVersionRow(NamedRow):
    """One file as it was read. Items never change; a newer file is another version.

    item_set: number by which the items refer to their version, small because there may be a
    million of them. digest: SHA-256 of the file. reading: digest of what else decides how the
    file is read (columns, confirmed matches), empty for nothing. report: JSON text of the rows
    that are no items. dated: some prices hold on some days only, or items are discontinued.
    superseded_at: since when another version is the current one. words_kept: whether the words
    of its items are kept; those imported by an earlier version of the program may lack them.
    """

    __tablename__ = "catalogue_versions"
    __table_args__ = (
        refers("catalogues", "catalogue_id"),
        UniqueConstraint("organisation_id", "catalogue_id", "number"),
        UniqueConstraint("organisation_id", "catalogue_id", "digest", "reading"),
        UniqueConstraint("organisation_id", "item_set"),
    )

    catalogue_id: Mapped[UUID]
    number: Mapped[int]
    item_set: Mapped[int]
    file_name: Mapped[str]
    supplier: Mapped[str]
    digest: Mapped[str]
    reading: Mapped[str]
    items: Mapped[int]
    rows_read: Mapped[int]
    rows_rejected: Mapped[int]
    rows_unread: Mapped[int]
    items_by_currency: Mapped[Json]
    dated: Mapped[bool]
    report: Mapped[str] = mapped_column(PackedText)
    imported_at: Mapped[datetime]
    by_person: Mapped[UUID | None]
    superseded_at: Mapped[datetime | None]
    words_kept: Mapped[bool] = mapped_column(server_default=false())


class CatalogueItemRow(OwnedRow):
    """One item. What is looked for is a column; the rest is read with the item, in details.

    place: in the list, from 1; row: as the file numbers it, in each of its sheets.
    match_hash: 64 bits of what the item is (kind, unit, attribute values), see ``match_hash``.
    kit: holds several parts. Quantity breaks and the contents of kits are in details, since
    nothing looks for them apart from their item. By what words it is found is kept beside
    the model, see ``item_search``.
    """

    __tablename__ = "catalogue_items"
    __table_args__ = (
        refers("catalogue_versions", "item_set", to=("item_set",), on_delete="CASCADE"),
        Index(None, "organisation_id", "item_set", "match_hash"),
        Index(None, "organisation_id", "item_set", "number"),
        Index(
            "ix_catalogue_items_kits", "organisation_id", "item_set",
            sqlite_where=text("kit"), postgresql_where=text("kit"),
        ),
    )  # fmt: skip

    item_set: Mapped[int] = mapped_column(primary_key=True)
    place: Mapped[int] = mapped_column(primary_key=True)
    row: Mapped[int]
    number: Mapped[str]
    supplier: Mapped[str]
    description: Mapped[str]
    kind: Mapped[str]
    unit: Mapped[str]
    currency: Mapped[str]
    unit_price: Mapped[Decimal] = mapped_column(Money(4))
    match_hash: Mapped[int] = mapped_column(BigInteger)
    kit: Mapped[bool]
    details: Mapped[Json] = mapped_column(JSON)
