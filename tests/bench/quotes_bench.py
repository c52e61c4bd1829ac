"""One of ten thousand kept quotes fetched, and a page of them listed, beside the bare statements.

``python -m tests.bench quotes``. The floor: the same rows by the driver alone, as tuples.
"""

import random
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

sys.path.insert(0, str(Path(__file__).parents[1]))

from store.databases import new_scope
from store.store_rows import add_version, plain_item, priced_from

from estimator.store.database import Database
from estimator.store.listing import Page, list_rows
from estimator.store.quote_revisions import find_revision, snapshot_document
from estimator.store.quotes import add_quote, find_quote
from estimator.store.scope import Scope
from estimator.store.tables.quotes import QuoteRow
from tests.bench.both_databases import both_databases, name_of
from tests.bench.latency import Asked, print_latencies
from tests.bench.store_bench import ROWS

# Of the rows that the other benches take, one in a hundred is a quote.
ROWS_A_QUOTE = 100
_ASKED = 100
_PAGE = 50
_COLUMNS = {"created_at": QuoteRow.created_at}
_ONE = (
    "SELECT q.*, r.* FROM quotes q JOIN quote_revisions r ON r.organisation_id = q.organisation_id "
    "AND r.quote_id = q.id AND r.number = q.newest WHERE q.organisation_id = {mark} "
    "AND q.id = {mark}"
)
_COUNT = "SELECT count(*) FROM quotes WHERE organisation_id = {mark}"
_SOME = (
    "SELECT * FROM quotes WHERE organisation_id = {mark} ORDER BY created_at DESC, id "
    "LIMIT 50 OFFSET {mark}"
)
Run = Callable[..., Any]


def print_quotes(rows: int = ROWS) -> None:
    """Two rows for each database."""
    count = max(_PAGE, rows // ROWS_A_QUOTE)
    with both_databases() as opened:
        for database in opened:
            scope = new_scope(database)
            with database.writing() as session:
                version = add_version(session, scope, [plain_item("W-1")])
                kept = priced_from(version)
                ids = [
                    add_quote(session, scope, f"Backup {at}", kept, year=2026).id
                    for at in range(count)
                ]
            name = name_of(database)
            chance = random.Random(11)
            with database.reading() as session, database.reading() as other:
                run = _runner(database, session)
                ones = [
                    _one(database, run, other, scope, each)
                    for each in chance.choices(ids, k=_ASKED)
                ]
                print_latencies(f"one of {count:,} quotes, {name} / bare SELECT", ones)
                places = [chance.randrange(count - _PAGE + 1) for _ in range(_ASKED)]
                pages = [_page(run, other, scope, each) for each in places]
                print_latencies(f"{_PAGE} of {count:,} quotes, {name} / bare SELECT", pages)


def _runner(database: Database, session: Session) -> Run:
    """Runs a statement by the driver alone and gives all of its rows."""
    connection: Any = session.connection().connection.driver_connection
    mark = "?" if database.sqlite else "%s"

    def run(statement: str, *values: object) -> Any:
        return connection.execute(statement.format(mark=mark), values).fetchall()

    return run


def _one(database: Database, run: Run, session: Session, scope: Scope, quote_id: UUID) -> Asked:
    key = quote_id.hex if database.sqlite else quote_id

    def ours() -> object:
        session.expunge_all()
        row = find_quote(session, scope, quote_id)
        return snapshot_document(find_revision(session, scope, quote_id, row.newest))

    return partial(run, _ONE, scope.organisation_id, key), ours


def _page(run: Run, session: Session, scope: Scope, offset: int) -> Asked:
    def bare() -> object:
        return run(_COUNT, scope.organisation_id), run(_SOME, scope.organisation_id, offset)

    def ours() -> object:
        session.expunge_all()
        page = Page(_PAGE, offset, ("-created_at",))
        return list_rows(session, scope, QuoteRow, page, sortable=_COLUMNS)

    return bare, ours
