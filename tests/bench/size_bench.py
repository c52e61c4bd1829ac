"""How much room the kept things take on disk: python -m tests.bench size"""

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import text

sys.path.insert(0, str(Path(__file__).parents[1]))

from store.databases import empty_postgres
from store.postgres_server import postgres_server
from tasks.office import LIST, Office, dearer, new_office

from estimator.store import care
from estimator.store.database import Database, open_database
from estimator.stored.price_lists import SentList, import_list
from estimator.stored.quoting import revise_quote
from tests.bench.measure import WIDTH

QUOTES = 200
LISTS = 10


def used_bytes(database: Database) -> int:
    """What all tables and indexes take, free room within them included."""
    if database.sqlite:
        words = "SELECT page_count * page_size FROM pragma_page_count(), pragma_page_size()"
    else:
        words = (
            "SELECT sum(pg_total_relation_size(c.oid)) FROM pg_class c JOIN pg_namespace n"
            " ON n.oid = c.relnamespace WHERE n.nspname = 'public' AND c.relkind = 'r'"
        )
    with database.reading() as session:
        return int(session.execute(text(words)).scalar_one())


def each(database: Database, count: int, do: Callable[[int], object]) -> float:
    """Bytes that one of ``count`` things adds, on average."""
    before = used_bytes(database)
    for number in range(count):
        do(number)
    return (used_bytes(database) - before) / count


def print_size() -> None:
    """A row for each kind of thing and database: kB for one."""
    with (
        tempfile.TemporaryDirectory() as folder,
        postgres_server() as server,
        empty_postgres(server) as url,
    ):
        for address in (f"sqlite:///{folder}/size.sqlite", url):
            database = open_database(address)
            care.upgrade(database)
            for what, size in sizes(database, new_office(database)).items():
                title = f"{database.engine.dialect.name}: {what}"
                print(f"{title:{WIDTH}} {size / 1000:10.2f} kB", flush=True)
            database.close()


def sizes(database: Database, office: Office) -> dict[str, float]:
    """Bytes of one quote, of one further revision, and of one item of a price list."""
    quotes = []
    a_quote = each(database, QUOTES, lambda _: quotes.append(office.quote()))

    def revise(number: int) -> None:
        with database.writing() as session:
            day = office.now().today
            revise_quote(session, office.now(), quotes[number], None, day, "bench")

    a_revision = each(database, QUOTES, revise)

    def another(number: int) -> None:
        sent = SentList("counter.csv", dearer(LIST, f"1.{number + 10}"))
        with database.writing() as session:
            import_list(session, office.now(), office.catalogue_id, sent)

    items = len(LIST.splitlines()) - 1
    an_item = each(database, LISTS, another) / items
    return {"a quote with its revision": a_quote, "a further revision": a_revision,
            "an item of a price list": an_item}  # fmt: skip
