"""Words searched in a kept list of a million items, beside the text index that they are found by.

``python -m tests.bench search``. The floor: the first page from the same index with the same words,
asked by the driver alone, without counting what there is. Makers, numbers and goods are invented.
"""

import random
import re
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import accumulate
from pathlib import Path
from typing import Any

from sqlalchemy.orm import Session

sys.path.insert(0, str(Path(__file__).parents[1]))

from store.big_list import big_price_list
from store.databases import new_scope

from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.records import Item
from estimator.store.catalogue_import import Heading, import_items
from estimator.store.catalogues import add_catalogue
from estimator.store.database import Database
from estimator.store.item_search import find_items
from estimator.store.item_words import asked_words, words_of
from estimator.store.listing import Page
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueVersionRow
from estimator.takeoff.part_kinds import load_part_kinds
from tests.bench.both_databases import both_databases, name_of
from tests.bench.latency import Asked, print_latencies
from tests.bench.measure import print_row
from tests.bench.store_bench import ROWS, SAMPLE

SEARCHES = 200
PAGE = 50
_MAKERS = 20_000
_SORTABLE = {"place": CatalogueItemRow.place}
_FIRST = {
    True: "SELECT rowid & 16777215 FROM catalogue_item_words "
    f"WHERE catalogue_item_words MATCH ? ORDER BY rowid LIMIT {PAGE}",
    False: "SELECT place, number, description, details FROM catalogue_items "
    "WHERE words @@ %s::tsquery AND organisation_id = %s AND item_set = %s "
    f"ORDER BY place LIMIT {PAGE}",
}


def makers() -> list[str]:
    """Invented words, as makers and their series would be."""
    chance = random.Random(3)
    parts = [first + second for first in "bcdfglmnprstvz" for second in "aeiou"]
    ends = [f"{at % 89:x}" if at % 4 == 0 else chance.choice(parts) for at in range(_MAKERS)]
    return ["".join(chance.choices(parts, k=3)) + end for end in ends]


def worded_list(samples: list[Item], count: int) -> Iterator[Item]:
    """Items like the samples, each with its own number and a maker, few of which are common."""
    chance = random.Random(5)
    names = makers()
    common = list(accumulate(1 / at for at in range(1, len(names) + 1)))
    chosen = chance.choices(names, cum_weights=common, k=count)
    for place, name in enumerate(chosen, 1):
        sample = samples[place % len(samples)]
        words = f"{sample.description} {name}"
        yield replace(sample, number=number_at(place), row=place + 1, description=words)


def number_at(place: int) -> str:
    """The item number of a place."""
    return f"{'ABCDEFG'[place % 7]}W-{place:07}"


def searches(samples: list[Item], count: int) -> list[str]:
    """What people would type: a number or its beginning, words or theirs, now and then little."""
    chance = random.Random(7)
    names = makers()
    asked: list[str] = []
    for _ in range(SEARCHES):
        words = re.findall(r"\w{3,}", chance.choice(samples).description)
        some = [word[: chance.randint(3, 6)] for word in chance.sample(words, min(2, len(words)))]
        number = number_at(chance.randint(1, count))
        how = chance.random()
        if how < 0.25:
            asked.append(number)
        elif how < 0.4:
            asked.append(number[: chance.randint(5, 8)])
        elif how < 0.65:
            asked.append(" ".join(some))
        elif how < 0.85:
            asked.append(some[0])
        elif how < 0.95:
            asked.append(f"{some[0]} {chance.choice(names)}")
        else:
            asked.append(some[0][: chance.randint(1, 2)])
    return asked


def print_search(rows: int = ROWS) -> None:
    """A row for each database; how long the lists took to import is told beside it."""
    samples = list(read_price_list(SAMPLE.read_bytes(), SAMPLE.name, load_part_kinds()).items)
    asked = searches(samples, rows)
    with both_databases() as opened:
        for database in opened:
            scope = new_scope(database)
            started = time.perf_counter()
            version = _import(database, scope, samples, rows)
            imported = time.perf_counter() - started
            _let_server_settle(database)
            name = name_of(database)
            print_row(f"{rows:,} items kept, {name}", "", f"{imported:.1f} s")
            with database.reading() as session, database.reading() as other:
                pairs = [_pair(database, session, other, scope, version, each) for each in asked]
                title = f"search in {rows:,} items, {name} / its index alone"
                print_latencies(title, pairs, f"{len(asked)} searches")


def _import(
    database: Database, scope: Scope, samples: list[Item], rows: int
) -> CatalogueVersionRow:
    with database.writing() as session:
        owner = add_catalogue(session, scope, "Searched")
        return import_items(
            session, scope, owner.id, Heading("searched.csv", "2" * 64),
            worded_list(samples, rows), lambda: big_price_list(samples),
        ).version  # fmt: skip


def _let_server_settle(database: Database) -> None:
    """As the server of PostgreSQL does by itself, a minute after rows came in."""
    if not database.sqlite:
        with database.engine.connect() as connection:
            connection.execution_options(isolation_level="AUTOCOMMIT")
            connection.exec_driver_sql("VACUUM ANALYZE catalogue_items")


def _pair(
    database: Database,
    session: Session,
    other: Session,
    scope: Scope,
    version: CatalogueVersionRow,
    asked: str,
) -> Asked:
    connection: Any = session.connection().connection.driver_connection
    words = words_of(asked)
    owner = scope.organisation_id, version.item_set
    wanted = asked_words(owner[0], [owner[1]], words, "", sqlite=database.sqlite)
    values = (wanted,) if database.sqlite else (wanted, *owner)

    def bare() -> list[Any]:
        found: list[Any] = connection.execute(_FIRST[database.sqlite], values).fetchall()
        return found

    def ours() -> object:
        other.expunge_all()
        return find_items(other, scope, [version], Page(PAGE), _SORTABLE, search=asked)

    first = [row[0] for row in bare()]
    found = find_items(other, scope, [version], Page(PAGE), _SORTABLE, search=asked)
    if [row.place for row in found.rows] != first or found.total < len(first):
        raise AssertionError(f"{asked!r}: {found.total} found, not what the index has")
    return bare, partial(ours)
