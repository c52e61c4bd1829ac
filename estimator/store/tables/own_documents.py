"""What an organisation lays down for its estimates: labour tables, rate sheets, programmes."""

from datetime import datetime
from typing import Literal
from uuid import UUID

from sqlalchemy import Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.store.column_types import PackedText
from estimator.store.tables.base import NamedRow, OwnedRow, Versioned, one_of, refers

DocumentKind = Literal["labour_table", "rate_sheet", "programme"]


class OwnDocumentRow(Versioned, NamedRow):
    """A labour table, rate sheet or credit programme. newest: number of its newest version."""

    __tablename__ = "own_documents"
    __table_args__ = (
        one_of("kind", DocumentKind),
        UniqueConstraint("organisation_id", "kind", "name_key"),
    )

    kind: Mapped[DocumentKind] = mapped_column(Text)
    name: Mapped[str]
    name_key: Mapped[str]
    newest: Mapped[int]
    archived_at: Mapped[datetime | None]


class OwnDocumentVersionRow(OwnedRow):
    """One version as its text (CSV, TOML or JSON); never changed."""

    __tablename__ = "own_document_versions"
    __table_args__ = (refers("own_documents", "document_id", on_delete="CASCADE"),)

    document_id: Mapped[UUID] = mapped_column(primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    content: Mapped[str] = mapped_column(PackedText)
    digest: Mapped[str]
    created_at: Mapped[datetime]
    by_person: Mapped[UUID | None]
