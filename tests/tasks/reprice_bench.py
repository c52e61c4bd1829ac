"""How much quicker two workers of the queue price open quotes anew than one; run by hand:

.venv/bin/python -m tasks.reprice_bench 1000        (in the folder tests)
"""

import os
import subprocess
import sys
import time

from sqlalchemy import text
from store.databases import empty_postgres
from store.postgres_server import postgres_server
from tasks.office import LIST, Office, dearer, new_office

from estimator.store import care
from estimator.store.database import Database, open_database
from estimator.stored.price_lists import SentList, import_list
from estimator.tasks import reprice
from estimator.tasks.reprice import ask_reprice
from estimator.tasks.run import run_task

AT_ONCE = 20


def main(quotes: int) -> None:
    """Time the same work with one and with two workers, in turn."""
    reprice.QUOTES_AT_ONCE = AT_ONCE
    with postgres_server() as server, empty_postgres(server) as url:
        database = open_database(url)
        care.upgrade(database)
        office = new_office(database)
        for _ in range(quotes):
            office.quote()
        for round_, workers in enumerate((1, 2, 1, 2), 1):
            rate = _rate(database, office, url, workers, f"1.{round_}")
            print(f"{quotes} quotes, {workers} worker(s): {rate:.1f} quotes/s", flush=True)
        database.close()


def _rate(database: Database, office: Office, url: str, workers: int, factor: str) -> float:
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
    return (_done(database) - first) * AT_ONCE / seconds


def _done(database: Database) -> int:
    return _count(database, "state = 'done' AND kind = 'reprice some'")


def _count(database: Database, where: str) -> int:
    with database.reading() as session:
        return session.execute(text(f"SELECT count(*) FROM tasks WHERE {where}")).scalar_one()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
