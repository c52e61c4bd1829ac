"""Customers and jobs. A job keeps every version of its description."""

from datetime import datetime
from uuid import UUID

from sqlalchemy import Index
from sqlalchemy.orm import Mapped, mapped_column

from estimator.store.column_types import PackedText
from estimator.store.tables.base import NamedRow, OwnedRow, Versioned, refers


class CustomerRow(Versioned, NamedRow):
    """Whom a quote goes to."""

    __tablename__ = "customers"
    __table_args__ = (Index(None, "organisation_id", "name"),)

    name: Mapped[str]
    email: Mapped[str] = mapped_column(default="")
    phone: Mapped[str] = mapped_column(default="")
    address: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")
    archived_at: Mapped[datetime | None]


class JobRow(Versioned, NamedRow):
    """A wiring job. newest: number of its newest version. template: to make other jobs from."""

    __tablename__ = "jobs"
    __table_args__ = (
        refers("customers", "customer_id"),
        Index(None, "organisation_id", "customer_id"),
        Index(None, "organisation_id", "changed_at"),
    )

    name: Mapped[str]
    customer_id: Mapped[UUID | None]
    template: Mapped[bool] = mapped_column(default=False)
    newest: Mapped[int]
    archived_at: Mapped[datetime | None]


class JobVersionRow(OwnedRow):
    """One version of a job's description as JSON text; never changed."""

    __tablename__ = "job_versions"
    __table_args__ = (refers("jobs", "job_id", on_delete="CASCADE"),)

    job_id: Mapped[UUID] = mapped_column(primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    document: Mapped[str] = mapped_column(PackedText)
    digest: Mapped[str]
    note: Mapped[str]
    created_at: Mapped[datetime]
    by_person: Mapped[UUID | None]
