"""Column types that keep a value exactly the same in SQLite and in PostgreSQL."""

import zlib
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import BigInteger, DateTime, Dialect, LargeBinary, Numeric
from sqlalchemy.types import TypeDecorator, TypeEngine

_DIGITS = 18


class Money(TypeDecorator[Decimal]):
    """Decimal with a fixed number of places: NUMERIC, in SQLite a whole number of the smallest.

    SQLite would keep a decimal as a binary fraction; whole numbers are exact and still sort and
    compare as amounts. A value with more places is refused, never rounded.
    """

    impl = Numeric
    cache_ok = True

    def __init__(self, places: int) -> None:
        super().__init__(_DIGITS, places)
        self.places = places

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """NUMERIC(18, places), in SQLite BIGINT."""
        if dialect.name == "sqlite":
            return dialect.type_descriptor(BigInteger())
        return dialect.type_descriptor(Numeric(_DIGITS, self.places))

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> Decimal | int | None:
        """Raises ValueError for a value that the column cannot hold exactly."""
        if value is None:
            return None
        whole = in_steps(value, self.places)
        return whole if dialect.name == "sqlite" else value

    def process_result_value(self, value: Any, dialect: Dialect) -> Decimal | None:
        """The amount with all its places."""
        if value is None:
            return None
        if dialect.name == "sqlite":
            return Decimal(value).scaleb(-self.places)
        return Decimal(value)


def in_steps(value: Decimal, places: int) -> int:
    """A decimal as a whole number of 10^-places. Raises ValueError where it is not one."""
    scaled = value.scaleb(places)
    whole = int(scaled)
    if whole != scaled or abs(whole) >= 10**_DIGITS:
        raise ValueError(f"{value} cannot be kept exactly with {places} decimal places")
    return whole


class Moment(TypeDecorator[datetime]):
    """A point in time, always with its zone and always in UTC."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Raises ValueError for a time without a zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value} has no time zone; give a time in UTC")
        in_utc = value.astimezone(UTC)
        return in_utc.replace(tzinfo=None) if dialect.name == "sqlite" else in_utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The same point in time in UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class PackedText(TypeDecorator[str]):
    """Text of any length, kept compressed; what is read is byte for byte what was written."""

    impl = LargeBinary
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> bytes | None:
        """The text as compressed UTF-8."""
        return None if value is None else zlib.compress(value.encode())

    def process_result_value(self, value: Any, dialect: Dialect) -> str | None:
        """The text as it was written."""
        return None if value is None else zlib.decompress(value).decode()
