"""A hundred parts matched in a kept list of a million items, beside the bare statement.

``python -m tests.bench match``. The floor: the rows of the same hashes by the driver alone.
"""

import random
import sys
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import text
from sqlalchemy.orm import Session

sys.path.insert(0, str(Path(__file__).parents[1]))

from store.big_list import big_list, big_price_list
from store.databases import new_scope

from estimator.catalogue.match import index_items, offers_for
from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.records import Item
from estimator.store.catalogue_import import Heading, import_items
from estimator.store.catalogue_lookup import lists_for_parts
from estimator.store.catalogues import add_catalogue
from estimator.store.database import Database
from estimator.store.item_match import hashes_of_parts
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueVersionRow
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Part
from tests.bench.both_databases import both_databases, name_of
from tests.bench.latency import print_latencies
from tests.bench.store_bench import ROWS, SAMPLE

PARTS = 100
_BARE = (
    "SELECT * FROM catalogue_items "
    "WHERE organisation_id = {mark} AND item_set = {mark} AND match_hash IN ({hashes})"
)


def print_match(rows: int = ROWS) -> None:
    """A row for each database."""
    samples = list(read_price_list(SAMPLE.read_bytes(), SAMPLE.name, load_part_kinds()).items)
    chosen = random.Random(7).sample(range(len(samples)), PARTS)
    parts = [_part(samples[at]) for at in chosen]
    with both_databases() as opened:
        for database in opened:
            scope = new_scope(database)
            version = _import(database, scope, samples, rows)
            with database.reading() as session, database.reading() as other:
                bare = partial(_bare, database, session, scope, version, parts)
                ours = partial(_offers, other, scope, version, parts)
                title = f"{PARTS} parts in {rows:,} items, {name_of(database)} / SELECT"
                print_latencies(title, [(bare, ours)], f"{ours():,} offers")


def _import(
    database: Database, scope: Scope, samples: list[Item], rows: int
) -> CatalogueVersionRow:
    with database.writing() as session:
        owner = add_catalogue(session, scope, "Big")
        version = import_items(
            session, scope, owner.id, Heading("big.csv", "1" * 64),
            big_list(samples, rows), lambda: big_price_list(samples),
        ).version  # fmt: skip
    if not database.sqlite:
        # As the server itself does, a minute after rows came in.
        with database.writing() as session:
            session.execute(text("ANALYZE"))
    return version


def _bare(
    database: Database,
    session: Session,
    scope: Scope,
    version: CatalogueVersionRow,
    parts: list[Part],
) -> object:
    connection: Any = session.connection().connection.driver_connection
    hashes = ", ".join(map(str, sorted(hashes_of_parts(parts))))
    statement = _BARE.format(mark="?" if database.sqlite else "%s", hashes=hashes)
    return connection.execute(statement, (scope.organisation_id, version.item_set)).fetchall()


def _offers(session: Session, scope: Scope, version: CatalogueVersionRow, parts: list[Part]) -> int:
    session.expunge_all()
    index = index_items(lists_for_parts(session, scope, [version.id], parts), "USD")
    return sum(len(offers_for(part, index)) for part in parts)


def _part(item: Item) -> Part:
    one = Decimal(1)
    return Part(item.kind, item.attributes, "", one, item.unit, (one,), "", (), ())
