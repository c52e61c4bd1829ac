"""Write many items at once, by the quickest way that each database has."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from sqlalchemy.orm import Session

from estimator.store.item_rows import COLUMNS
from estimator.store.tables.catalogues import CatalogueItemRow

PROGRESS_EVERY = 5_000
Progress = Callable[[int], None]
Rows = Iterable[Sequence[Any]]

_TABLE = CatalogueItemRow.__tablename__
_NAMES = ", ".join(f'"{name}"' for name in COLUMNS)


def write_items(session: Session, rows: Rows, progress: Progress | None = None) -> None:
    """Write rows of COLUMNS in the transaction of the session, holding none of them back.

    progress: told now and then how many rows were taken; what it raises ends the import.
    """
    session.flush()
    connection: Any = session.connection().connection.driver_connection
    told = _tell(rows, progress) if progress else rows
    if session.get_bind().dialect.name == "sqlite":
        marks = ", ".join("?" * len(COLUMNS))
        connection.executemany(f"INSERT INTO {_TABLE} ({_NAMES}) VALUES ({marks})", told)
        return
    with connection.cursor() as cursor, cursor.copy(_COPY) as copy:
        for row in told:
            copy.write_row(row)


_COPY = f"COPY {_TABLE} ({_NAMES}) FROM STDIN"


def _tell(rows: Rows, progress: Progress) -> Iterator[Sequence[Any]]:
    taken = 0
    for row in rows:
        yield row
        taken += 1
        if not taken % PROGRESS_EVERY:
            progress(taken)
    progress(taken)
