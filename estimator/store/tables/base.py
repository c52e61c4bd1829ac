"""What all tables share: named constraints, the organisation of a row, versions."""

import secrets
import threading
import time
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any, ClassVar, get_args
from uuid import UUID

from sqlalchemy import (
    JSON,
    Boolean,
    CheckConstraint,
    Date,
    ForeignKey,
    ForeignKeyConstraint,
    Integer,
    LargeBinary,
    MetaData,
    Text,
    Uuid,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column

from estimator.store.column_types import Moment

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

Json = dict[str, Any]


class Base(DeclarativeBase):
    """All tables."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map: ClassVar[Mapping[Any, Any]] = {
        str: Text,
        int: Integer,
        bool: Boolean,
        bytes: LargeBinary,
        date: Date,
        datetime: Moment,
        UUID: Uuid,
        Json: JSON,
    }


def new_id() -> UUID:
    """A new identifier that sorts by the time it was made (RFC 9562, version 7)."""
    milliseconds = time.time_ns() // 1_000_000
    value = (milliseconds << 80) | secrets.randbits(80)
    value = (value & ~(0xF << 76)) | (7 << 76)
    value = (value & ~(0b11 << 62)) | (0b10 << 62)
    with _making:
        # Of two in one millisecond the later one is larger too (RFC 9562, 6.2, method 2).
        _last[0] = max(value, _last[0] + 1)
        return UUID(int=_last[0])


_making = threading.Lock()
_last = [0]


class OwnedRow(Base):
    """A row of one organisation. Its key begins with the organisation.

    References between such rows hold the organisation too (see ``refers``), so the database
    itself refuses a row that points into another organisation.
    """

    __abstract__ = True

    organisation_id: Mapped[int] = mapped_column(
        ForeignKey("organisations.id", ondelete="CASCADE"), primary_key=True, sort_order=-20
    )


class NamedRow(OwnedRow):
    """A row of an organisation with an identifier of its own."""

    __abstract__ = True

    id: Mapped[UUID] = mapped_column(primary_key=True, default=new_id, sort_order=-10)


class Versioned:
    """A row that people change: each change counts ``version`` up, which makes its ETag."""

    version: Mapped[int] = mapped_column(sort_order=90)
    created_at: Mapped[datetime] = mapped_column(sort_order=91)
    changed_at: Mapped[datetime] = mapped_column(sort_order=92)

    @declared_attr.directive
    def __mapper_args__(cls) -> dict[str, Any]:  # noqa: N805
        return {"version_id_col": cls.version}


def refers(
    table: str, *own: str, to: tuple[str, ...] = ("id",), on_delete: str | None = None
) -> ForeignKeyConstraint:
    """A reference to a row of the same organisation."""
    return ForeignKeyConstraint(
        ["organisation_id", *own],
        [f"{table}.organisation_id", *(f"{table}.{column}" for column in to)],
        ondelete=on_delete,
    )


def one_of(column: str, choices: Any) -> CheckConstraint:
    """The column holds one of the texts of a Literal."""
    known = ", ".join(f"'{choice}'" for choice in get_args(choices))
    return CheckConstraint(f"{column} IN ({known})", name=f"{column}_known")
