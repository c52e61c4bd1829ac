"""How much quicker two workers of the queue price ten thousand open quotes anew than one.

``python -m tests.bench reprice``. PostgreSQL only: SQLite has one process that works. The floor is
the time a quote takes with one worker, so 0.5 is twice as quick.
"""

import os
import subprocess
import sys
import time
from pathlib import Path

from sqlalchemy import text

sys.path.insert(0, str(Path(__file__).parents[1]))

from store.databases import empty_postgres
from store.postgres_server import postgres_server
from tasks.office import LIST, Office, dearer, new_office

from estimator.store import care
from estimator.store.database import Database, open_database
from estimator.stored.price_lists import SentList, import_list
from estimator.tasks import reprice
from estimator.tasks.reprice import ask_reprice
from estimator.tasks.run import run_task
from tests.bench.measure import figures, print_row

ROWS = 1_000_000
# Of the rows that the other benches take, one in a hundred is a quote.
ROWS_A_QUOTE = 100
ROUNDS = 2
MOST_AT_ONCE = 100


def print_reprice(rows: int = ROWS) -> None:
    """One row: seconds a quote with one worker and with two, in turn."""
    quotes = max(80, rows // ROWS_A_QUOTE)
    # As many pieces as both workers need to be busy to the end.
    at_once = reprice.QUOTES_AT_ONCE = min(MOST_AT_ONCE, quotes // 15)
    with postgres_server() as server, empty_postgres(server) as url:
        database = open_database(url)
        care.upgrade(database)
        office = new_office(database)
        for _ in range(quotes):
            office.quote()
        pairs = []
        for round_ in range(ROUNDS):
            one, two = (
                1 / _rate(database, office, url, workers, at_once, f"1.{round_}{workers}")
                for workers in (1, 2)
            )
            pairs.append((one, two))
        database.close()
    best = max(one / two for one, two in pairs)
    title = f"repricing {quotes:,} quotes, 2 workers / 1"
    print_row(title, figures(pairs), f"a quote; {best:.2f} times as many, PostgreSQL")


def _rate(
    database: Database, office: Office, url: str, workers: int, at_once: int, factor: str
) -> float:
    with database.writing() as session:
        session.execute(text("DELETE FROM tasks"))
        sent = SentList("counter.csv", dearer(LIST, factor))
        version = import_list(session, office.now(), office.catalogue_id, sent).version
        task_id = ask_reprice(session, office.now(), version).id
    run_task(database, task_id)  # here, for pieces as small as a quick measurement needs
    own = {"ESTIMATOR_MODE": "shared", "ESTIMATOR_DATABASE_URL": url}
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "estimator", "work"],
            env={**os.environ, **own}, stderr=subprocess.DEVNULL,
        )
        for _ in range(workers)
    ]  # fmt: skip
    # The start of the programs does not count: from the first pieces to the last.
    while (first := _done(database)) < workers:
        time.sleep(0.02)
    begun = time.monotonic()
    while _count(database, "state IN ('waiting', 'running')"):
        time.sleep(0.02)
    seconds = time.monotonic() - begun
    for each in running:
        each.terminate()
        each.wait()
    return (_done(database) - first) * at_once / seconds


def _done(database: Database) -> int:
    return _count(database, "state = 'done' AND kind = 'reprice some'")


def _count(database: Database, where: str) -> int:
    with database.reading() as session:
        return session.execute(text(f"SELECT count(*) FROM tasks WHERE {where}")).scalar_one()
