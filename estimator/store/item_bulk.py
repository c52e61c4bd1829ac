"""Write many items at once, by the quickest way that each database has."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from sqlalchemy.orm import Session

from estimator.store.item_rows import COLUMNS
from estimator.store.item_words import WordKeeper
from estimator.store.tables.base import Base
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueWordRow

PROGRESS_EVERY = 5_000
Progress = Callable[[int], None]
Rows = Iterable[Sequence[Any]]

_NUMBER, _DESCRIPTION, _KIND = (COLUMNS.index(each) for each in ("number", "description", "kind"))
_WORD_COLUMNS = ("organisation_id", "item_set", "word", "first_place", "places")


def write_items(session: Session, rows: Rows, progress: Progress | None = None) -> None:
    """Write rows of COLUMNS in the transaction of the session, holding none of them back.

    progress: told now and then how many rows were taken; what it raises ends the import.
    """
    session.flush()
    _write(session, CatalogueItemRow, COLUMNS, _tell(rows, progress) if progress else rows)


def write_with_words(session: Session, rows: Rows, progress: Progress | None = None) -> None:
    """The same for all rows of one item set, with the words by which they are found."""
    session.flush()
    told = iter(_tell(rows, progress) if progress else rows)
    keeper = WordKeeper()
    # While rows stream in, PostgreSQL takes nothing else: words follow after each segment.
    while (first := next(told, None)) is not None:
        owner = tuple(first[:2])
        _write(session, CatalogueItemRow, COLUMNS, _segment(first, told, keeper))
        kept = ((*owner, *each) for each in keeper.take())
        _write(session, CatalogueWordRow, _WORD_COLUMNS, kept)


def _segment(
    first: Sequence[Any], rest: Iterator[Sequence[Any]], keeper: WordKeeper
) -> Iterator[Sequence[Any]]:
    row: Sequence[Any] | None = first
    while row is not None:
        keeper.add(row[_NUMBER], row[_DESCRIPTION], row[_KIND])
        yield row
        row = None if keeper.full else next(rest, None)


def _write(session: Session, table: type[Base], columns: Sequence[str], rows: Rows) -> None:
    names = ", ".join(f'"{name}"' for name in columns)
    connection: Any = session.connection().connection.driver_connection
    if session.get_bind().dialect.name == "sqlite":
        marks = ", ".join("?" * len(columns))
        connection.executemany(
            f"INSERT INTO {table.__tablename__} ({names}) VALUES ({marks})", rows
        )
        return
    statement = f"COPY {table.__tablename__} ({names}) FROM STDIN"
    with connection.cursor() as cursor, cursor.copy(statement) as copy:
        for row in rows:
            copy.write_row(row)


def _tell(rows: Rows, progress: Progress) -> Iterator[Sequence[Any]]:
    taken = 0
    for row in rows:
        yield row
        taken += 1
        if not taken % PROGRESS_EVERY:
            progress(taken)
    progress(taken)
