"""What runs beside requests: tasks, files, repeated requests, the audit trail."""

from datetime import datetime
from typing import Literal
from uuid import UUID

from sqlalchemy import JSON, Index, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.store.tables.base import Json, NamedRow, OwnedRow, one_of, refers

TaskState = Literal["waiting", "running", "done", "failed", "cancelled"]


class TaskRow(NamedRow):
    """A piece of background work.

    once: two tasks of an organisation never share this text, so that the same cause starts one
    task only; None where it does not matter. attempts: starts so far. beat_at: last sign of
    life of the worker. stop_asked_at: somebody wants it cancelled.
    """

    __tablename__ = "tasks"
    __table_args__ = (
        one_of("state", TaskState),
        UniqueConstraint("organisation_id", "once"),
        Index(None, "state", "start_after"),
        Index(None, "organisation_id", "created_at"),
        refers("stored_files", "file_id"),
    )

    kind: Mapped[str]
    state: Mapped[TaskState] = mapped_column(Text)
    once: Mapped[str | None]
    asked: Mapped[Json]
    file_id: Mapped[UUID | None]
    result: Mapped[Json | None] = mapped_column(JSON(none_as_null=True))
    fault: Mapped[str | None]
    done: Mapped[int]
    total: Mapped[int | None]
    attempts: Mapped[int]
    most_attempts: Mapped[int]
    created_at: Mapped[datetime]
    by_person: Mapped[UUID | None]
    start_after: Mapped[datetime]
    started_at: Mapped[datetime | None]
    beat_at: Mapped[datetime | None]
    finished_at: Mapped[datetime | None]
    stop_asked_at: Mapped[datetime | None]


class StoredFileRow(NamedRow):
    """Bytes that a task needs or made: a price list to read, an export to fetch."""

    __tablename__ = "stored_files"
    __table_args__ = (Index(None, "organisation_id", "digest"),)

    name: Mapped[str]
    media_type: Mapped[str]
    digest: Mapped[str]
    size: Mapped[int]
    content: Mapped[bytes]
    created_at: Mapped[datetime]
    by_person: Mapped[UUID | None]


class IdempotencyKeyRow(OwnedRow):
    """The answer to a request that may be repeated. status: None while it is being made."""

    __tablename__ = "idempotency_keys"
    __table_args__ = (Index(None, "expires_at"),)

    key: Mapped[str] = mapped_column(primary_key=True)
    request: Mapped[str]
    request_digest: Mapped[str]
    status: Mapped[int | None]
    headers: Mapped[Json]
    body: Mapped[bytes | None]
    created_at: Mapped[datetime]
    expires_at: Mapped[datetime]


class AuditEntryRow(NamedRow):
    """Who did what to what, and when. Written with the change itself, never changed."""

    __tablename__ = "audit_entries"
    __table_args__ = (
        Index(None, "organisation_id", "at"),
        Index(None, "organisation_id", "subject", "subject_id"),
    )

    at: Mapped[datetime]
    by_person: Mapped[UUID | None]
    by_name: Mapped[str]
    action: Mapped[str]
    subject: Mapped[str]
    subject_id: Mapped[str]
    details: Mapped[Json]
