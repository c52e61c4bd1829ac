"""What a process of its own does over and over until it is killed.

After each step that is kept it says so, so that who kills it knows what must be there.
"""

from collections.abc import Callable
from dataclasses import replace
from multiprocessing.connection import Connection
from pathlib import Path
from uuid import uuid4

from quotes.quote_snapshots import snapshot
from store.next_migrations import downgrade
from store.store_rows import TODAY, plain_item, price_list

from estimator.quotes.records import Basis
from estimator.store import migrate, quotes, tasks
from estimator.store.catalogue_import import import_price_list
from estimator.store.catalogues import add_catalogue
from estimator.store.customers import add_customer
from estimator.store.database import Database, open_database
from estimator.store.quote_steps import send_quote
from estimator.store.scope import Scope

ITEMS = [plain_item(f"K-{place}", row=place) for place in range(1, 1_501)]
SNAPSHOT = replace(snapshot(), basis=Basis("0.1.0", ()))


def write_quote(database: Database, scope: Scope) -> None:
    """A quote that is made and sent in one transaction."""
    with database.writing() as session:
        row = quotes.add_quote(session, scope, "Backup", SNAPSHOT, year=2026)
        send_quote(session, scope, row.id, TODAY, None)


def import_list(database: Database, scope: Scope) -> None:
    """A new catalogue with its first list."""
    with database.writing() as session:
        owner = add_catalogue(session, scope, uuid4().hex)
        import_price_list(session, scope, owner.id, price_list(ITEMS))


def do_task(database: Database, scope: Scope) -> None:
    """Ask for a task with its cause; take on the oldest; do its work and tell it is done."""
    with database.writing() as session:
        cause = add_customer(session, scope, {"name": "A. Customer"})
        tasks.add_task(session, scope, "quote", {"for": str(cause.id)}, most_attempts=1_000)
    with database.writing() as session:
        claimed = tasks.claim_task(session, scope.at)
    if claimed is None:
        return
    with database.writing() as session:
        quotes.add_quote(session, scope, str(claimed.task.id), SNAPSHOT, year=2026)
        tasks.finish_task(session, scope, claimed.task.id, {})


def migrate_forth_and_back(database: Database, scope: Scope) -> None:
    """To the next revision, or back from it."""
    state = migrate.schema_state(database)
    if state.up_to_date:
        downgrade(database, "-1")
    else:
        migrate.upgrade(database)


STEPS: dict[str, Callable[[Database, Scope], None]] = {
    "quote": write_quote,
    "import": import_list,
    "task": do_task,
    "migration": migrate_forth_and_back,
}


def work(what: str, url: str, scope: Scope, migrations: Path, said: Connection) -> None:
    """Step after step for ever."""
    migrate.MIGRATIONS = migrations
    database = open_database(url)
    done = 0
    while True:
        said.send(done)
        STEPS[what](database, scope)
        done += 1
