"""Jobs and own documents: versions are kept, writers do not overwrite each other."""

import threading
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from quotes.quote_snapshots import JOB

from estimator.catalogue.records import SupplierTerms
from estimator.finding import Fault, InputRefused
from estimator.store import customers, jobs, own_documents, suppliers
from estimator.store.audit import note
from estimator.store.database import Database
from estimator.store.errors import Conflict, Immutable, NotFound, ReadingOnly, StaleVersion
from estimator.store.listing import Page, list_rows
from estimator.store.scope import Scope
from estimator.store.tables.jobs import JobRow
from estimator.store.tables.work import AuditEntryRow


def test_every_save_is_a_version_and_all_stay_readable(database: Database, scope: Scope) -> None:
    later = replace(scope, at=scope.at + timedelta(hours=1))
    with database.writing() as session:
        row = jobs.add_job(session, scope, "House", JOB)
        jobs.save_job(session, later, row.id, JOB | {"run_length_ft": 20}, row.version, "longer")

    with database.reading() as session:
        found = jobs.find_job(session, scope, row.id)
        assert (found.newest, found.version) == (2, 2)
        assert (found.created_at, found.changed_at) == (scope.at, later.at)
        first = jobs.find_job_version(session, scope, row.id, 1)
        second = jobs.find_job_version(session, scope, row.id, 2)
        assert jobs.job_document(first) == JOB
        assert jobs.job_document(second)["run_length_ft"] == 20
        assert second.note == "longer"


def test_the_same_description_again_changes_nothing(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        row = jobs.add_job(session, scope, "House", JOB)

    with database.writing() as session:
        jobs.save_job(session, scope, row.id, JOB, row.version)

    with database.reading() as session:
        found = jobs.find_job(session, scope, row.id)
        assert (found.newest, found.version) == (1, 1)


def test_who_saw_an_older_version_is_refused_and_told_the_new_one(
    database: Database, scope: Scope
) -> None:
    with database.writing() as session:
        row = jobs.add_job(session, scope, "House", JOB)
        jobs.save_job(session, scope, row.id, {"a": 1}, 1)

    with pytest.raises(StaleVersion) as refused, database.writing() as session:
        jobs.save_job(session, scope, row.id, {"b": 1}, 1)

    assert refused.value.current == 2


def test_of_two_writers_at_the_same_moment_one_is_refused(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        row = jobs.add_job(session, scope, "House", JOB)
    outcomes: list[str] = []
    ready = threading.Barrier(4)

    def write(number: int) -> None:
        ready.wait()
        try:
            with database.writing() as session:
                jobs.save_job(session, scope, row.id, {"writer": number}, 1)
            outcomes.append("saved")
        except StaleVersion:
            outcomes.append("stale")

    writers = [threading.Thread(target=write, args=(number,)) for number in range(4)]
    for each in writers:
        each.start()
    for each in writers:
        each.join()

    assert sorted(outcomes) == ["saved", "stale", "stale", "stale"]
    with database.reading() as session:
        assert jobs.find_job(session, scope, row.id).newest == 2


def test_what_fails_half_way_leaves_nothing(database: Database, scope: Scope) -> None:
    with pytest.raises(ZeroDivisionError), database.writing() as session:
        jobs.add_job(session, scope, "House", JOB)
        raise ZeroDivisionError

    with database.reading() as session:
        assert list_rows(session, scope, JobRow, Page()).total == 0
        assert list_rows(session, scope, AuditEntryRow, Page()).total == 0


def test_versions_and_the_audit_trail_cannot_be_changed(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        row = jobs.add_job(session, scope, "House", JOB)

    with pytest.raises(Immutable), database.writing() as session:
        jobs.find_job_version(session, scope, row.id, 1).note = "other"
    with pytest.raises(Immutable), database.writing() as session:
        (entry,) = list_rows(session, scope, AuditEntryRow, Page()).rows
        session.delete(entry)
        session.flush()


def test_a_customer_with_jobs_cannot_be_removed_but_put_aside(
    database: Database, scope: Scope
) -> None:
    with database.writing() as session:
        customer = customers.add_customer(session, scope, {"name": "A. Customer"})
        jobs.add_job(session, scope, "House", JOB, customer_id=customer.id)

    with pytest.raises(Conflict, match="archive it"), database.writing() as session:
        customers.remove_customer(session, scope, customer.id, None)
    with database.writing() as session:
        assert customers.archive_customer(session, scope, customer.id, 1).archived_at == scope.at


def test_removing_a_job_removes_its_versions(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        row = jobs.add_job(session, scope, "House", JOB)
        jobs.remove_job(session, scope, row.id, 1)

    with pytest.raises(NotFound), database.reading() as session:
        jobs.find_job_version(session, scope, row.id, 1)


def test_lists_are_sorted_paged_and_counted(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        for name in ("b", "a", "c", "a"):
            jobs.add_job(session, scope, name, JOB)

    with database.reading() as session:
        page = list_rows(session, scope, JobRow, Page(2, 1, ("-name",)))
        narrowed = list_rows(session, scope, JobRow, Page(), JobRow.name == "a")
        assert [each.name for each in page.rows] == ["b", "a"]
        assert page.total == 4
        assert narrowed.total == 2
        with pytest.raises(InputRefused) as refused:
            list_rows(session, scope, JobRow, Page(5_000, 0, ("secret", "-name")), sortable={})
        assert len(refused.value.faults) == 3


def test_reading_sessions_cannot_write(database: Database, scope: Scope) -> None:
    with pytest.raises(ReadingOnly, match="read-only"), database.reading() as session:
        jobs.add_job(session, scope, "House", JOB)


def test_own_documents_are_checked_kept_and_versioned(database: Database, scope: Scope) -> None:
    def check(text: str) -> None:
        if "bad" in text:
            raise InputRefused("labour units", (Fault("row 1", "is bad"),))

    with database.writing() as session:
        row = own_documents.add_own_document(session, scope, "labour_table", "Ours", "v1", check)
        own_documents.save_own_document(
            session, scope, "labour_table", row.id, "v2", check, row.version
        )

    with pytest.raises(InputRefused), database.writing() as session:
        own_documents.save_own_document(session, scope, "labour_table", row.id, "bad", check, None)
    with pytest.raises(Conflict, match="'OURS' already"), database.writing() as session:
        own_documents.add_own_document(session, scope, "labour_table", "OURS", "v1", check)
    with database.reading() as session:
        used = own_documents.used_version(
            session, scope, own_documents.find_own_document(session, scope, "labour_table", row.id)
        )
        assert (used.name, used.version) == ("Ours", 2)
        assert own_documents.find_own_version(session, scope, row.id, 1).content == "v1"
        with pytest.raises(NotFound):
            own_documents.find_own_document(session, scope, "programme", row.id)


def test_supplier_terms_come_back_as_the_purchase_plan_takes_them(
    database: Database, scope: Scope
) -> None:
    asked = SupplierTerms("Depot", Decimal("150.00"), Decimal("12.50"), Decimal("400.00"), "USD")
    with database.writing() as session:
        row = suppliers.add_supplier(session, scope, "Depot")
        suppliers.keep_terms(session, scope, row.id, asked)
        suppliers.keep_terms(session, scope, row.id, replace(asked, delivery_fee=Decimal("9.00")))

    with database.reading() as session:
        assert suppliers.all_terms(session, scope) == (
            replace(asked, delivery_fee=Decimal("9.00")),
        )


def test_a_supplier_is_known_whatever_its_letter_case(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        row = suppliers.supplier_of(session, scope, "Depot")
        assert suppliers.supplier_of(session, scope, " DEPOT ").id == row.id
        suppliers.keep_mapping(session, scope, row.id, "a" * 64, {"price": 1})
        suppliers.keep_mapping(session, scope, row.id, "a" * 64, {"price": 2})
        found = suppliers.mapping_for(session, scope, row.id, "a" * 64)
        assert found is not None
        assert found.mapping == {"price": 2}


def test_the_audit_trail_tells_who_did_what(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        note(session, scope, "looked at", "job", "1", why="curious")

    with database.reading() as session:
        (entry,) = list_rows(session, scope, AuditEntryRow, Page()).rows
        assert (entry.by_name, entry.action, entry.at) == ("Test", "looked at", scope.at)
        assert entry.details == {"why": "curious"}
