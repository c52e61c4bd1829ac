"""Values come back from either database exactly as they were kept."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Column, Integer, MetaData, Table, insert, select, text
from sqlalchemy.exc import StatementError

from estimator.store.column_types import Moment, Money, PackedText
from estimator.store.database import Database

VALUES = Table(
    "exact_values", MetaData(),
    Column("id", Integer, primary_key=True),
    Column("cents", Money(2)), Column("fine", Money(4)),
    Column("at", Moment), Column("packed", PackedText),
)  # fmt: skip
relaxed = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture(scope="module")
def kept(database: Database) -> Iterator[Database]:
    with database.writing() as session:
        VALUES.create(session.connection())
    yield database
    with database.writing() as session:
        VALUES.drop(session.connection())


def round_trip(database: Database, **values: object) -> object:
    with database.writing() as session:
        session.execute(VALUES.delete())
        session.execute(insert(VALUES).values(id=1, **values))
    with database.reading() as session:
        return session.execute(select(*(VALUES.c[name] for name in values))).one()[0]


def amounts(places: int) -> st.SearchStrategy[Decimal]:
    return st.integers(-(10**18) + 1, 10**18 - 1).map(lambda steps: Decimal(steps).scaleb(-places))


@relaxed
@given(amounts(4))
def test_unit_prices_keep_every_place(kept: Database, amount: Decimal) -> None:
    found = round_trip(kept, fine=amount)

    assert str(found) == f"{amount:.4f}"


@relaxed
@given(amounts(2))
def test_money_keeps_every_cent(kept: Database, amount: Decimal) -> None:
    found = round_trip(kept, cents=amount)

    assert str(found) == f"{amount:.2f}"


@pytest.mark.parametrize("amount", ["0.00001", "1e15", "99999999999999.99999"])
def test_what_cannot_be_kept_exactly_is_refused(kept: Database, amount: str) -> None:
    with pytest.raises(StatementError, match="cannot be kept exactly"):
        round_trip(kept, fine=Decimal(amount))


def test_amounts_sort_and_compare_as_amounts(kept: Database) -> None:
    amounts = [Decimal(text) for text in ("10.5", "-3", "9.75", "100", "0")]
    with kept.writing() as session:
        session.execute(VALUES.delete())
        session.execute(
            insert(VALUES), [{"id": at, "fine": each} for at, each in enumerate(amounts, 1)]
        )

    with kept.reading() as session:
        found = session.scalars(
            select(VALUES.c.fine).where(VALUES.c.fine > Decimal("-1")).order_by(VALUES.c.fine)
        ).all()

    assert found == [Decimal(text) for text in ("0", "9.75", "10.5", "100")]


# Without a zone, for the test gives each the zone of its own.
@relaxed
@given(
    st.datetimes(datetime(1971, 1, 1), datetime(2999, 1, 1)),  # noqa: DTZ001
    st.integers(-14 * 60, 14 * 60),
)
def test_a_moment_comes_back_in_utc(kept: Database, at: datetime, minutes: int) -> None:
    told = at.replace(tzinfo=timezone(timedelta(minutes=minutes)))

    found = round_trip(kept, at=told)

    assert found == told
    assert found.tzinfo is UTC


def test_a_time_without_zone_is_refused(kept: Database) -> None:
    with pytest.raises(StatementError, match="has no time zone"):
        round_trip(kept, at=datetime(2026, 3, 2))  # noqa: DTZ001


@relaxed
@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_packed_text_is_the_same_to_the_byte(kept: Database, words: str) -> None:
    assert round_trip(kept, packed=words) == words


def test_sqlite_holds_whole_numbers_and_postgresql_numeric(kept: Database) -> None:
    round_trip(kept, fine=Decimal("12.3456"))

    with kept.reading() as session:
        raw = session.execute(text("SELECT fine FROM exact_values")).scalar_one()
    assert raw == (123456 if kept.sqlite else Decimal("12.3456"))
