"""An organisation with a real catalogue and quotes, for tasks to work on."""

import csv
import io
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

from estimator.job.read import read_job_document
from estimator.store.catalogues import add_catalogue
from estimator.store.database import Database
from estimator.store.jobs import add_job
from estimator.store.organisations import add_organisation
from estimator.store.quotes import find_quote
from estimator.store.scope import Scope
from estimator.store.tables.quotes import QuoteRow
from estimator.store.tables.work import TaskRow
from estimator.store.tasks import find_task
from estimator.stored.means import Wanted
from estimator.stored.plain_objects import plain_objects
from estimator.stored.price_lists import SentList, import_list
from estimator.stored.quoting import make_quote

SAMPLES = Path(__file__).parents[2] / "catalog_samples"
LIST = (SAMPLES / "price_lists" / "north_counter.csv").read_bytes()


def dearer(data: bytes, factor: str = "1.10") -> bytes:
    """The same list with all prices up."""
    rows = list(csv.reader(io.StringIO(data.decode())))
    price = rows[0].index("price")
    for row in rows[1:]:
        row[price] = f"{Decimal(row[price]) * Decimal(factor):.2f}"
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue().encode()


@dataclass
class Office:
    """An organisation at work."""

    database: Database
    scope: Scope
    catalogue_id: UUID
    job_id: UUID

    def now(self) -> Scope:
        return Scope(self.scope.organisation_id, datetime.now(UTC), None, "Test")

    def quote(self) -> UUID:
        with self.database.writing() as session:
            day = self.now().at.date()
            return make_quote(session, self.now(), "Backup", self.job_id, Wanted(), day).id

    def see(self, quote_id: UUID) -> QuoteRow:
        with self.database.reading() as session:
            return find_quote(session, self.scope, quote_id)

    def task(self, task_id: UUID) -> TaskRow:
        with self.database.reading() as session:
            return find_task(session, self.scope, task_id)


def job_document() -> dict[str, Any]:
    file = SAMPLES / "jobs" / "four_facts.json"
    document: dict[str, Any] = plain_objects(read_job_document(file.read_bytes(), file.name))
    return document


def new_office(database: Database) -> Office:
    """An organisation with one list in force and one job."""
    at = datetime.now(UTC)
    with database.writing() as session:
        name = f"Invented Electric {uuid4().hex[:6]}"
        scope = Scope(add_organisation(session, name, at).id, at, None, "Test")
        catalogue = add_catalogue(session, scope, "Counter")
        import_list(session, scope, catalogue.id, SentList("counter.csv", LIST))
        job = add_job(session, scope, "House", job_document())
        return Office(database, scope, catalogue.id, job.id)
