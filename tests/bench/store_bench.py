"""A price list of a million rows: read, checked and stored.

``python -m tests.bench import``. The floor is the driver's own bulk load of rows made before, into
the same table with its indexes.
"""

import csv
import io
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from store.big_list import big_list
from store.databases import new_scope

from estimator.catalogue.files.limits import ListLimits
from estimator.catalogue.read_price_list import open_price_list, read_price_list
from estimator.catalogue.records import Item, PriceList
from estimator.finding import Fault
from estimator.store.catalogue_import import Heading, import_items
from estimator.store.catalogues import add_catalogue
from estimator.store.counters import next_number
from estimator.store.database import Database
from estimator.store.item_bulk import write_items
from estimator.store.item_rows import RowMaker
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueVersionRow
from estimator.takeoff.part_kinds import load_part_kinds
from tests.bench.both_databases import both_databases, name_of
from tests.bench.measure import figures, print_row

ROOT = Path(__file__).parents[2]
ROWS = 1_000_000
LIMITS = ListLimits(file_bytes=2**30, unzipped_bytes=2**30, rows=2_000_000)
SAMPLE = ROOT / "catalog_samples/price_lists/north_counter.csv"


def big_file(rows: int) -> bytes:
    """The sample list over and over, each row under a number and a price of its own."""
    head, *samples = csv.reader(io.StringIO(SAMPLE.read_text()))
    number, price = head.index("item number"), head.index("price")
    text = io.StringIO()
    written = csv.writer(text)
    written.writerow(head)
    for place in range(rows):
        row = samples[place % len(samples)].copy()
        row[number] = f"B{place:07}"
        row[price] = str(Decimal(row[price]) + Decimal(place % 997) / 100)
        written.writerow(row)
    return text.getvalue().encode()


@dataclass(frozen=True, slots=True)
class Took:
    """Seconds on the clock, and of our process alone: a server's own work is not among these."""

    clock_s: float
    own_s: float

    @classmethod
    def since(cls, start: "Took") -> "Took":
        """From a moment, as ``now`` gives it, to now."""
        return cls(time.perf_counter() - start.clock_s, time.process_time() - start.own_s)


def now() -> Took:
    """This moment."""
    return Took(time.perf_counter(), time.process_time())


def bulk_load(database: Database, scope: Scope, items: list[Item]) -> Took:
    """Seconds in which the driver loads the rows alone, ready made; they are not kept."""
    with database.writing() as session:
        item_set = next_number(session, scope, "item_sets")
        maker = RowMaker(scope.organisation_id, item_set, database.sqlite)
        owner = add_catalogue(session, scope, "Floor")
        session.add(_empty_version(scope, owner.id, item_set))
        session.flush()
        rows = [maker.row(place, item) for place, item in enumerate(items, 1)]
        start = now()
        write_items(session, rows, words=False)
        session.commit()
        return Took.since(start)


def _empty_version(scope: Scope, catalogue_id: object, item_set: int) -> CatalogueVersionRow:
    return CatalogueVersionRow(
        organisation_id=scope.organisation_id, catalogue_id=catalogue_id, number=1,
        item_set=item_set, file_name="", digest="", reading="", supplier="", items=0, rows_read=0,
        rows_rejected=0, rows_unread=0, items_by_currency={}, dated=False, report="",
        imported_at=scope.at,
    )  # fmt: skip


def read_and_store(database: Database, scope: Scope, data: bytes, rows: int) -> Took:
    """Seconds to read a file row by row, check each row and store it, in one transaction."""
    start = now()
    reading = open_price_list(io.BytesIO(data), "big.csv", load_part_kinds(), limits=LIMITS)
    rejected: list[Fault] = []

    def items() -> Iterator[Item]:
        for row in reading.rows():
            rejected.extend(row.faults)
            if row.item is not None:
                yield row.item

    def rest() -> PriceList:
        return PriceList(
            reading.name, reading.supplier, reading.digest, (), rows, tuple(rejected), 0,
            read_as=reading.read_as, mappings=reading.mappings,
        )  # fmt: skip

    with database.writing() as session:
        owner = add_catalogue(session, scope, "Read")
        heading = Heading(reading.name, reading.digest)
        version = import_items(session, scope, owner.id, heading, items(), rest).version
    assert (version.items, rejected) == (rows, [])
    return Took.since(start)


def print_import(rows: int = ROWS) -> None:
    """A row for each database; besides, the seconds of our process alone."""
    samples = read_price_list(SAMPLE.read_bytes(), SAMPLE.name, load_part_kinds())
    data = big_file(rows)
    with both_databases() as opened:
        for database in opened:
            # Once before, so that no table of words is read within the time.
            read_and_store(database, new_scope(database), big_file(500), 500)
            ours = read_and_store(database, new_scope(database), data, rows)
            items = list(big_list(list(samples.items), rows))
            floor = bulk_load(database, new_scope(database), items)
            del items
            print_row(
                f"import of {rows:,} rows, {name_of(database)} / bulk load",
                figures([(floor.clock_s, ours.clock_s)]),
                f"{len(data) / 1e6:.0f} MB; of our process {ours.own_s / floor.own_s:.2f}",
            )
