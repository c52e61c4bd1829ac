"""Write many items at once, by the quickest way that each database has."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import islice
from typing import Any

from sqlalchemy.orm import Session

from estimator.store.item_rows import COLUMNS
from estimator.store.item_words import kept_words, row_number, words_of_item

PROGRESS_EVERY = 5_000
_AT_ONCE = 1_000
Progress = Callable[[int], None]
Rows = Iterable[Sequence[Any]]

_NUMBER, _DESCRIPTION, _KIND = (COLUMNS.index(each) for each in ("number", "description", "kind"))


def write_items(
    session: Session, rows: Rows, progress: Progress | None = None, *, words: bool = True
) -> None:
    """Write rows of COLUMNS in the transaction of the session, holding few of them back.

    progress: told now and then how many rows were taken; what it raises ends the import.
    words: also write by what the items are found.
    """
    session.flush()
    told = iter(_tell(rows, progress) if progress else rows)
    connection: Any = session.connection().connection.driver_connection
    if session.get_bind().dialect.name == "sqlite":
        while some := list(islice(told, _AT_ONCE)):
            connection.executemany(_insert("catalogue_items", COLUMNS), some)
            if words:
                texts = ((row_number(*row[:3]), _words(row, sqlite=True)) for row in some)
                connection.executemany(_insert("catalogue_item_words", ("rowid", "words")), texts)
        return
    columns = (*COLUMNS, "words") if words else COLUMNS
    statement = f"COPY catalogue_items ({_names(columns)}) FROM STDIN"
    with connection.cursor() as cursor, cursor.copy(statement) as copy:
        for row in told:
            copy.write_row((*row, _words(row, sqlite=False)) if words else row)


def _insert(table: str, columns: Sequence[str]) -> str:
    return f"INSERT INTO {table} ({_names(columns)}) VALUES ({', '.join('?' * len(columns))})"


def _names(columns: Sequence[str]) -> str:
    return ", ".join(f'"{name}"' for name in columns)


def _words(row: Sequence[Any], *, sqlite: bool) -> str:
    words = words_of_item(row[_NUMBER], row[_DESCRIPTION], row[_KIND])
    return kept_words(row[0], row[1], words, sqlite=sqlite)


def _tell(rows: Rows, progress: Progress) -> Iterator[Sequence[Any]]:
    taken = 0
    for row in rows:
        yield row
        taken += 1
        if not taken % PROGRESS_EVERY:
            progress(taken)
    progress(taken)
