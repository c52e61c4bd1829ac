"""Counters of tries that all processes and hosts share; each begins anew when its time is up."""

from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import case, delete, or_
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from estimator.store.tables.rates import RateCounterRow

# How long a counter lasts at the most.
LONGEST = timedelta(hours=1)


def count(session: Session, key: str, amount: int, last_s: int, at: datetime) -> int:
    """Count tries; how many there were since the counter began. last_s: how long it lasts."""
    on_sqlite = session.get_bind().dialect.name == "sqlite"
    insert: Any = (sqlite if on_sqlite else postgresql).insert(RateCounterRow)
    ends_at = at + timedelta(seconds=last_s)
    # One that ends later than it lasts was begun by a clock that was put back since.
    over = or_(RateCounterRow.ends_at <= at, RateCounterRow.ends_at > ends_at)
    statement = (
        insert.values(key=key, hits=amount, ends_at=ends_at)
        .on_conflict_do_update(
            index_elements=["key"],
            set_={
                "hits": case((over, amount), else_=RateCounterRow.hits + amount),
                "ends_at": case((over, ends_at), else_=RateCounterRow.ends_at),
            },
        )
        .returning(RateCounterRow.hits)
    )
    hits: int = session.execute(statement).scalar_one()
    return hits


def find_counter(session: Session, key: str, at: datetime) -> RateCounterRow | None:
    """A counter that still runs; None for none."""
    row = session.get(RateCounterRow, key)
    # Further ahead than any lasts: of a clock that was put back since.
    return row if row is not None and at < row.ends_at <= at + LONGEST else None


def forget_counter(session: Session, key: str) -> None:
    """Begin a counter anew."""
    session.execute(delete(RateCounterRow).where(RateCounterRow.key == key))


def forget_old_counters(session: Session, at: datetime) -> None:
    """Remove the counters whose time is up."""
    session.execute(delete(RateCounterRow).where(RateCounterRow.ends_at <= at))
