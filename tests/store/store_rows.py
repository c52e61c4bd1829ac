"""One row of everything in an organisation, made by the doors themselves."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID, uuid4

from quotes.quote_snapshots import BASIS, JOB, snapshot
from sqlalchemy.orm import Session

from estimator.catalogue.columns.mapping import ColumnMapping, MappedColumn
from estimator.catalogue.files.table import SheetLeftOut
from estimator.catalogue.records import (
    Covered,
    Item,
    PassedOver,
    PriceBreak,
    PriceList,
    SupplierTerms,
    UnreadRow,
)
from estimator.finding import Fault
from estimator.quotes.records import Snapshot, Used
from estimator.store import (
    access,
    files,
    idempotency,
    invitations,
    links,
    people,
    quotes,
    rate_counters,
    tasks,
)
from estimator.store.catalogue_import import import_price_list
from estimator.store.catalogues import add_catalogue
from estimator.store.confirmed_matches import confirm_match
from estimator.store.customers import add_customer
from estimator.store.jobs import add_job
from estimator.store.own_documents import add_own_document
from estimator.store.quote_steps import send_quote
from estimator.store.scope import Scope
from estimator.store.suppliers import add_supplier, keep_mapping, keep_terms
from estimator.store.tables.catalogues import CatalogueVersionRow

TODAY = date(2026, 3, 2)
WIRE = (("size", "10 AWG"), ("insulation", "THHN/THWN-2"), ("material", "cu"), ("colour", "black"))
FULL_ITEM = Item(
    supplier="Invented Wholesale",
    number="W-1",
    description='10 STR THHN CU BLK 500FT "é" \t\\',
    kind="conductor",
    attributes=WIRE,
    unit="ft",
    pack=Decimal("500"),
    unit_price=Decimal("0.4150"),
    printed_price=Decimal("41.50"),
    price_basis="hundred_feet",
    currency="USD",
    row=7,
    pieces=1,
    read_from="description",
    supposed=("Stranded is taken for granted.",),
    breaks=(PriceBreak(4, Decimal("0.4010")), PriceBreak(10, Decimal("0.3999"))),
    minimum_packs=2,
    pack_increment=2,
    valid_from=date(2026, 1, 1),
    valid_until=date(2026, 12, 31),
    lead_time_days=5,
    discontinued=True,
    replaced_by="W-2",
    gtin="00012345678905",
    covers=(Covered("conductor", WIRE, Decimal("250.5")),),
)

PRICE_COLUMN = MappedColumn(3, "Price", "price", "head", "It is called so.", 0.3, None, ("1.25",))


def plain_item(number: str, **other: Any) -> Item:
    """An item with little to tell."""
    given = {
        "supplier": "Invented Wholesale", "number": number, "description": number,
        "kind": "conductor", "attributes": WIRE, "unit": "ft", "pack": Decimal(1),
        "unit_price": Decimal("0.4200"), "printed_price": Decimal("0.42"),
        "price_basis": "foot", "currency": "USD", "row": 2,
    }  # fmt: skip
    return Item(**(given | other))


def price_list(items: Sequence[Item], digest: str = "", name: str = "list.csv") -> PriceList:
    """A list with rows that are no items, too."""
    return PriceList(
        name=name,
        supplier="Invented Wholesale",
        digest=digest or uuid4().hex * 2,
        items=tuple(items),
        rows_read=len(items) + 2,
        rejected=(Fault("row 3, column price", "is blank"),),
        rows_rejected=1,
        unread=(
            UnreadRow(4, "Invented Wholesale", "U-1", "THING", "no kind", None, WIRE[:1], "Two"),
        ),
        doubts=(Fault("row 5, column gtin", "has a wrong check digit"),),
        read_as=("Prices are per hundred where the unit is C.",),
        passed_over=(PassedOver("Two", 1, "the head", "Price"),),
        rows_passed_over=3,
        rows_blank=2,
        mappings=(ColumnMapping("Two", 1, (PRICE_COLUMN,), (("unit", "ea"),)),),
        left_out=(SheetLeftOut("Notes", "It has no table."),),
    )


def add_version(
    session: Session, scope: Scope, items: Sequence[Item], name: str = ""
) -> CatalogueVersionRow:
    """A catalogue of its own with one version."""
    catalogue = add_catalogue(session, scope, name or uuid4().hex)
    return import_price_list(session, scope, catalogue.id, price_list(items)).version


def priced_from(version: CatalogueVersionRow, **other: Any) -> Snapshot:
    """A snapshot that rests on a catalogue version."""
    used = Used(str(version.id), version.file_name, version.number, version.digest)
    return snapshot(basis=replace(BASIS, catalogues=(used,)), **other)


def fill(session: Session, scope: Scope) -> dict[str, UUID]:
    """Rows in every table; the identifiers of some."""
    at, later = scope.at, scope.at + timedelta(days=30)
    person = people.add_person(session, f"{uuid4().hex}@example.org", "Invented Person", "x", at)
    scope = replace(scope, person_id=person.id, person_name=person.name)
    people.add_membership(session, scope, person.id, "owner")
    access.begin_session(session, scope, person.id, later)
    token, _ = access.add_token(session, scope, person.id, "export", "reader", later)
    invitation, _ = invitations.invite(session, scope, "new@example.org", "reader", later)
    customer = add_customer(session, scope, {"name": "A. Customer", "email": "c@example.org"})
    job = add_job(session, scope, "House", JOB, customer_id=customer.id)
    supplier = add_supplier(session, scope, "Invented Wholesale")
    terms = SupplierTerms("", Decimal("150.00"), Decimal("12.50"), None, "USD")
    keep_terms(session, scope, supplier.id, terms)
    keep_mapping(session, scope, supplier.id, "f" * 64, {"price": 3})
    confirm_match(session, scope, "invented wholesale", "W-9", "conductor", WIRE)
    version = add_version(session, scope, [FULL_ITEM, plain_item("W-9")], "Wholesale")
    document = add_own_document(session, scope, "labour_table", "Ours", "code,task\n", len)
    quote = quotes.add_quote(
        session, scope, "Backup", priced_from(version),
        year=2026, job_id=job.id, customer_id=customer.id,
    )  # fmt: skip
    send_quote(session, scope, quote.id, TODAY, None)
    link, _ = links.add_link(session, scope, quote.id, later)
    file = files.add_file(session, scope, "list.csv", "text/csv", b"a,b\n")
    task = tasks.add_task(session, scope, "import", {"list": 1}, once="a", file_id=file.id)
    idempotency.begin_once(session, scope, "key", "POST /jobs", "0" * 64, later)
    answer = idempotency.KeptAnswer(201, {"Location": "/jobs/1"}, b"{}")
    idempotency.keep_answer(session, scope, "key", answer)
    rate_counters.count(session, uuid4().hex, 1, 60, at)
    return {
        "person": person.id, "token": token.id, "invitation": invitation.id,
        "customer": customer.id, "job": job.id, "supplier": supplier.id,
        "catalogue": version.catalogue_id, "version": version.id, "document": document.id,
        "quote": quote.id, "link": link.id, "file": file.id, "task": task.id,
    }  # fmt: skip
