"""One organisation never sees, changes or refers to another's rows."""

from dataclasses import replace
from inspect import signature
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import delete, func, inspect, select, update
from store.store_rows import TODAY, fill

import estimator.store
from estimator.store import (
    access,
    catalogue_lookup,
    catalogues,
    customers,
    files,
    invitations,
    jobs,
    links,
    own_documents,
    quote_steps,
    quotes,
    suppliers,
    tasks,
)
from estimator.store.database import Database
from estimator.store.errors import Conflict, NotFound, UnscopedQuery
from estimator.store.listing import Page, list_rows
from estimator.store.organisations import delete_organisation
from estimator.store.scope import Scope, add
from estimator.store.tables import metadata
from estimator.store.tables.base import Base, OwnedRow
from estimator.store.tables.jobs import CustomerRow, JobRow
from estimator.store.tables.organisations import PersonRow
from estimator.store.tables.quotes import QuoteRow

OWNED = [each.class_ for each in Base.registry.mappers if issubclass(each.class_, OwnedRow)]


@pytest.fixture(scope="module")
def filled(database: Database) -> tuple[Scope, dict]:
    from store.databases import new_scope

    scope = new_scope(database)
    with database.writing() as session:
        return scope, fill(session, scope)


def test_the_rows_of_the_tests_reach_every_table(database: Database, filled: tuple) -> None:
    with database.reading() as session:
        empty = [
            table.name
            for table in metadata.sorted_tables
            if not session.scalar(select(func.count()).select_from(table))
        ]

    assert empty == []


@pytest.mark.parametrize("table", sorted(OWNED, key=str), ids=lambda each: each.__tablename__)
def test_lists_hold_the_rows_of_one_organisation_only(
    database: Database, filled: tuple, other: Scope, table: type[OwnedRow]
) -> None:
    scope, _ = filled
    with database.reading() as session:
        own = list_rows(session, scope, table, Page())
        foreign = list_rows(session, other, table, Page())

    assert own.total == len(own.rows) > 0
    assert (foreign.total, foreign.rows) == (0, [])


DOORS = {
    "customer": [customers.find_customer],
    "job": [jobs.find_job],
    "supplier": [suppliers.find_supplier],
    "catalogue": [catalogues.find_catalogue],
    "version": [
        catalogues.find_catalogue_version,
        catalogue_lookup.whole_list,
        catalogues.remove_catalogue_version,
    ],
    "quote": [quotes.find_quote],
    "token": [access.revoke_token],
    "invitation": [invitations.revoke_invitation],
    "file": [files.find_file],
    "task": [tasks.find_task, tasks.cancel_task],
}


@pytest.mark.parametrize(
    ("name", "door"), [(name, door) for name, doors in DOORS.items() for door in doors]
)
def test_anothers_identifier_is_not_found(
    database: Database, filled: tuple, other: Scope, name: str, door: object
) -> None:
    _, ids = filled
    for key in (ids[name], uuid4()):
        with pytest.raises(NotFound) as refused, database.writing() as session:
            door(session, other, key)
        # Whether another organisation has it is not told.
        assert str(key) in str(refused.value)


def test_anothers_identifier_is_not_found_in_changes_either(
    database: Database, filled: tuple, other: Scope
) -> None:
    _, ids = filled
    calls = [
        lambda s: jobs.save_job(s, other, ids["job"], {}, None),
        lambda s: jobs.remove_job(s, other, ids["job"], None),
        lambda s: jobs.find_job_version(s, other, ids["job"], 1),
        lambda s: jobs.add_job(s, other, "x", {}, customer_id=ids["customer"]),
        lambda s: customers.change_customer(s, other, ids["customer"], {}, None),
        lambda s: catalogues.add_catalogue(s, other, "x", ids["supplier"]),
        lambda s: catalogues.find_item(s, other, ids["version"], 1),
        lambda s: catalogue_lookup.lists_for_parts(s, other, [ids["version"]], ()),
        lambda s: quote_steps.send_quote(s, other, ids["quote"], TODAY, None),
        lambda s: links.add_link(s, other, ids["quote"], other.at),
        lambda s: links.revoke_link(s, other, ids["quote"], ids["link"]),
        lambda s: own_documents.find_own_document(s, other, "labour_table", ids["document"]),
    ]
    for call in calls:
        with pytest.raises(NotFound), database.writing() as session:
            call(session)


def test_the_database_refuses_a_reference_into_another_organisation(
    database: Database, filled: tuple, other: Scope
) -> None:
    _, ids = filled
    row = JobRow(name="x", customer_id=ids["customer"], newest=1)

    with pytest.raises(Conflict), database.writing() as session:
        add(session, other, row)


@pytest.mark.parametrize(
    "statement",
    [
        select(JobRow),
        select(JobRow.name),
        select(JobRow, CustomerRow).join(CustomerRow, CustomerRow.id == JobRow.customer_id),
        update(JobRow).values(name="x"),
        delete(QuoteRow),
    ],
)
def test_a_statement_that_names_no_organisation_is_refused(
    database: Database, statement: object
) -> None:
    told = "does not say of which organisation"
    with pytest.raises(UnscopedQuery, match=told), database.writing() as session:
        session.execute(statement)


def test_a_joined_table_is_narrowed_down_as_well(
    database: Database, filled: tuple, other: Scope
) -> None:
    with database.writing() as session:
        customers.add_customer(session, other, {"name": "Theirs"})
    joined = select(CustomerRow.name).join_from(PersonRow, CustomerRow, CustomerRow.name != "")

    with database.reading() as session:
        found = session.scalars(joined.execution_options(**other.options)).all()

    assert set(found) == {"Theirs"}


def test_only_the_doors_before_a_login_look_into_every_organisation() -> None:
    folder = Path(estimator.store.__file__).parent
    using = {
        file.name
        for file in folder.glob("*.py")
        if "EVERY_ORGANISATION" in file.read_text() and file.name != "guard.py"
    }

    # By hash of a secret, by person, for the worker that serves all, or for who looks after it.
    assert using == {
        "access.py", "idempotency.py", "invitations.py", "links.py", "organisation_list.py",
        "organisations.py", "past.py", "people.py", "sign_ins.py", "tasks.py",
    }  # fmt: skip


def test_every_table_begins_its_key_with_the_organisation() -> None:
    for table in OWNED:
        assert inspect(table).primary_key[0].name == "organisation_id"
        for key in table.__table__.foreign_key_constraints:
            if key.referred_table.name not in ("organisations", "people"):
                assert key.column_keys[0] == "organisation_id", (table, key.name)


def test_a_deleted_organisation_leaves_nothing_and_takes_nothing_of_others(
    database: Database, other: Scope
) -> None:
    from store.databases import new_scope

    leaving = new_scope(database)
    with database.writing() as session:
        ids = fill(session, leaving)
        kept = customers.add_customer(session, other, {"name": "Stays"})

    with database.writing() as session:
        delete_organisation(session, leaving)

    with database.reading() as session:
        assert [
            table.__tablename__
            for table in OWNED
            if list_rows(session, leaving, table, Page()).total
        ] == []
        assert session.get(PersonRow, ids["person"]) is None
        assert customers.find_customer(session, other, kept.id).name == "Stays"


def test_the_doors_take_the_session_first_and_the_scope_second() -> None:
    for doors in DOORS.values():
        for door in doors:
            assert list(signature(door).parameters)[:2] == ["session", "scope"]


def test_someone_else_of_the_same_organisation_sees_the_same(
    database: Database, filled: tuple
) -> None:
    scope, ids = filled
    colleague = replace(scope, person_id=uuid4())

    with database.reading() as session:
        assert jobs.find_job(session, colleague, ids["job"]).name == "House"
