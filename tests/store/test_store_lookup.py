"""What is loaded for a job prices it exactly as the whole lists do."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from conftest import SAMPLE_DAY, sample_jobs
from sqlalchemy import event
from store.store_rows import WIRE, add_version, plain_item

from estimator.catalogue.match import index_items, offers_for
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.records import Covered, Item
from estimator.catalogue.validity import valid_on
from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.sizing.design import design_job
from estimator.sizing.tables import load_sizing_tables
from estimator.store.catalogue_lookup import lists_for_parts
from estimator.store.confirmed_matches import all_confirmed, confirm_match, forget_match
from estimator.store.database import Database
from estimator.store.scope import Scope
from estimator.takeoff.records import Part
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.take_off import take_off
from estimator.usecases import Catalogue

COVERS = (Covered("conductor", WIRE, Decimal(1)),)
RED = (*WIRE[:3], ("colour", "red"))


def parts_of_samples() -> dict[str, tuple[Part, ...]]:
    found = {}
    for path in sample_jobs():
        job = describe_job(read_job_document(path.read_bytes(), path.name), SAMPLE_DAY).job
        design = design_job(job, load_sizing_tables())
        found[path.name] = take_off(job, design, load_take_off_tables()).parts
    return found


def wire(quantity: int = 10, attributes: tuple = WIRE) -> Part:
    cuts = (Decimal(quantity),)
    return Part("conductor", attributes, "wire", Decimal(quantity), "ft", cuts, "x", (), ())


def test_every_sample_job_is_bought_as_from_the_whole_lists(
    database: Database, scope: Scope, catalogue: Catalogue
) -> None:
    from estimator.store.catalogue_import import import_price_list
    from estimator.store.catalogues import add_catalogue

    ids = []
    with database.writing() as session:
        for read in catalogue.lists:
            owner = add_catalogue(session, scope, read.name)
            ids.append(import_price_list(session, scope, owner.id, read).version.id)
    whole = index_items(catalogue.lists, "USD")
    items = sum(len(each.items) for each in catalogue.lists)

    for name, parts in parts_of_samples().items():
        with database.reading() as session:
            lists = lists_for_parts(session, scope, ids, parts)
        plan, expected = (
            plan_purchase(parts, index_items(lists, "USD")),
            plan_purchase(parts, whole),
        )
        assert plan.purchases == expected.purchases, name
        assert plan.kits == expected.kits, name
        assert 0 < sum(len(each.items) for each in lists) < items / 2
        assert [each.digest for each in lists] == [each.digest for each in catalogue.lists]


def load(database: Database, scope: Scope, items: list[Item], part: Part) -> tuple[Item, ...]:
    with database.writing() as session:
        version = add_version(session, scope, items)
    with database.reading() as session:
        return lists_for_parts(session, scope, [version.id], [part])[0].items


def test_items_that_differ_for_looks_come_too_and_others_do_not(
    database: Database, scope: Scope
) -> None:
    other_size = (("size", "12 AWG"), *WIRE[1:])
    items = [
        plain_item("red", attributes=RED),
        plain_item("size", attributes=other_size),
        plain_item("BLACK", attributes=(*WIRE[:3], ("colour", "BLACK"))),
        plain_item("feet", unit="ea"),
    ]

    found = load(database, scope, items, wire())

    assert [each.number for each in found] == ["red", "BLACK"]


def test_kits_come_whatever_they_are_themselves(database: Database, scope: Scope) -> None:
    kit = plain_item("kit", kind="inlet_kit", covers=(Covered("conductor", WIRE, Decimal(5)),))

    assert [each.number for each in load(database, scope, [kit], wire())] == ["kit"]


def test_every_price_of_a_dated_item_comes(database: Database, scope: Scope) -> None:
    other = (("size", "12 AWG"), *WIRE[1:])
    items = [
        plain_item("A", valid_from=date(2026, 1, 1), row=2),
        plain_item("A", valid_from=date(2026, 2, 1), row=3, attributes=other),
        plain_item("B", row=4, attributes=other),
    ]

    found = load(database, scope, items, wire())

    # The later row says that the item is another thing by then: the first is not to be used.
    assert [each.row for each in found] == [2, 3]
    assert valid_on(found, date(2026, 3, 1))[0] == (found[1],)


def test_a_match_confirmed_after_the_import_counts(database: Database, scope: Scope) -> None:
    described = plain_item("D", read_from="description", attributes=RED, supposed=("Red.",))
    with database.writing() as session:
        version = add_version(session, scope, [described])
        row = confirm_match(session, scope, "INVENTED wholesale", "D", "conductor", WIRE)
        owner = row.supplier_id

    with database.reading() as session:
        (found,) = lists_for_parts(session, scope, [version.id], [wire()])
        assert found.items == (
            replace(described, attributes=WIRE, read_from="confirmed", supposed=()),
        )
        assert offers_for(wire(), index_items([found], "USD"))
        assert all_confirmed(session, scope) == {("invented wholesale", "D"): ("conductor", WIRE)}
    with database.writing() as session:
        forget_match(session, scope, owner, "D")
    with database.reading() as session:
        (found,) = lists_for_parts(session, scope, [version.id], [wire()])
        assert found.items == (described,)


def test_a_described_item_confirmed_as_another_part_no_longer_serves(
    database: Database, scope: Scope
) -> None:
    with database.writing() as session:
        version = add_version(session, scope, [plain_item("D", read_from="description")])
        confirm_match(session, scope, "Invented Wholesale", "D", "conductor", RED)

    with database.reading() as session:
        (found,) = lists_for_parts(session, scope, [version.id], [wire()])

    assert not offers_for(wire(), index_items([found], "USD"))


def test_what_the_lists_own_columns_say_is_not_overruled(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        version = add_version(session, scope, [plain_item("C")])
        confirm_match(session, scope, "Invented Wholesale", "C", "conductor", RED)

    with database.reading() as session:
        (found,) = lists_for_parts(session, scope, [version.id], [wire()])

    assert found.items[0].attributes == WIRE


def test_a_kind_that_is_unknown_cannot_be_confirmed(database: Database, scope: Scope) -> None:
    with pytest.raises(KeyError), database.writing() as session:
        confirm_match(session, scope, "Depot", "C", "no_such_kind", WIRE)


def test_no_search_reads_a_whole_list(database: Database, scope: Scope) -> None:
    """SQLite tells how it will search; each search must be by all columns of some index."""
    if not database.sqlite:
        return
    with database.writing() as session:
        version = add_version(session, scope, [plain_item("A"), plain_item("K", covers=COVERS)])
    asked: list[tuple[str, tuple]] = []

    def keep(
        _connection: object, _cursor: object, statement: str, values: tuple, *_: object
    ) -> None:
        asked.append((statement, values))

    event.listen(database.engine, "before_cursor_execute", keep)
    with database.reading() as session:
        (found,) = lists_for_parts(session, scope, [version.id], [wire()])
        searches = [each for each in asked if "FROM catalogue_items" in each[0]]
        plans = [
            row[3]
            for statement, values in searches
            for row in session.connection().exec_driver_sql(
                f"EXPLAIN QUERY PLAN {statement}", values
            )
        ]
    event.remove(database.engine, "before_cursor_execute", keep)

    assert {item.number for item in found.items} == {"A", "K"}
    by_hash, kits, by_place = plans
    assert "match_hash=?" in by_hash
    assert "ix_catalogue_items_kits" in kits
    assert "place=?" in by_place
