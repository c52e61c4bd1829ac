"""Import of price lists: exact, all or nothing, recognised; versions in force."""

from collections.abc import Iterator
from dataclasses import MISSING, fields

import pytest
from store.store_rows import FULL_ITEM, add_version, plain_item, price_list, priced_from

from estimator.catalogue.records import Item
from estimator.finding import InputRefused
from estimator.store import catalogues, quotes
from estimator.store.catalogue_import import Heading, import_items, import_price_list
from estimator.store.catalogue_lookup import whole_list
from estimator.store.database import Database
from estimator.store.errors import Conflict, NotFound
from estimator.store.listing import Page, list_rows
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueVersionRow
from estimator.usecases import Catalogue


def test_the_full_item_of_the_tests_differs_from_every_default() -> None:
    left = [
        each.name
        for each in fields(Item)
        if each.default is not MISSING and getattr(FULL_ITEM, each.name) == each.default
    ]

    # Of these one value must stand in the item that the others describe.
    assert left in ([], ["pieces"], ["pieces", "sheet"])


def test_items_come_back_as_they_were(database: Database, scope: Scope) -> None:
    read = price_list([FULL_ITEM, plain_item("P-1", pieces=10), plain_item("P-2", row=2)])
    with database.writing() as session:
        catalogue = catalogues.add_catalogue(session, scope, "List")
        version = import_price_list(session, scope, catalogue.id, read).version

    with database.reading() as session:
        found = whole_list(session, scope, version.id)

    assert found == read
    assert repr(found) == repr(read)


def test_the_sample_lists_come_back_as_they_were(
    database: Database, scope: Scope, catalogue: Catalogue
) -> None:
    for read in catalogue.lists:
        with database.writing() as session:
            owner = catalogues.add_catalogue(session, scope, read.name)
            version = import_price_list(session, scope, owner.id, read).version

        with database.reading() as session:
            found = whole_list(session, scope, version.id)
        assert found == read
        assert [repr(each) for each in found.items] == [repr(each) for each in read.items]
        assert (version.items, version.rows_read) == (len(read.items), read.rows_read)


def test_the_same_file_twice_changes_nothing(database: Database, scope: Scope) -> None:
    read = price_list([plain_item("A")])
    with database.writing() as session:
        owner = catalogues.add_catalogue(session, scope, "List").id
        first = import_price_list(session, scope, owner, read)
    with database.writing() as session:
        again = import_price_list(session, scope, owner, read)
        other = import_price_list(session, scope, owner, read, reading="other columns")

    assert (first.already, again.already, other.already) == (False, True, False)
    assert again.version.id == first.version.id
    assert other.version.number == 2


def test_a_newer_list_supersedes_and_an_older_one_can_be_put_in_force_again(
    database: Database, scope: Scope
) -> None:
    with database.writing() as session:
        owner = catalogues.add_catalogue(session, scope, "List").id
        one = import_price_list(session, scope, owner, price_list([plain_item("A")])).version
        two = import_price_list(session, scope, owner, price_list([plain_item("A")])).version

    with database.reading() as session:
        (current,) = catalogues.versions_in_force(session, scope)
        assert current.id == two.id
        assert catalogues.find_catalogue_version(session, scope, one.id).superseded_at == scope.at
    with database.writing() as session:
        found = catalogues.find_catalogue_version(session, scope, one.id)
        catalogues.put_in_force(session, scope, found)
    with database.reading() as session:
        assert [each.id for each in catalogues.versions_in_force(session, scope)] == [one.id]


@pytest.mark.parametrize("fault", [ValueError, KeyboardInterrupt])
def test_an_import_that_breaks_off_leaves_no_trace(
    database: Database, scope: Scope, fault: type[BaseException]
) -> None:
    with database.writing() as session:
        owner = catalogues.add_catalogue(session, scope, "List").id

    def items() -> Iterator[Item]:
        yield from (plain_item(str(number)) for number in range(12_000))
        raise fault

    with pytest.raises(fault), database.writing() as session:
        import_items(
            session, scope, owner, Heading("a.csv", "a" * 64), items(), lambda: price_list([])
        )

    with database.reading() as session:
        assert list_rows(session, scope, CatalogueVersionRow, Page()).total == 0
        assert list_rows(session, scope, CatalogueItemRow, Page()).total == 0


def test_progress_is_told_and_can_stop_the_import(database: Database, scope: Scope) -> None:
    class Stopped(Exception):
        pass

    told: list[int] = []

    def tell(done: int) -> None:
        told.append(done)
        if done >= 10_000:
            raise Stopped

    with database.writing() as session:
        owner = catalogues.add_catalogue(session, scope, "List").id
    read = price_list([plain_item(str(number)) for number in range(20_000)])

    with pytest.raises(Stopped), database.writing() as session:
        import_price_list(session, scope, owner, read, progress=tell)

    assert told == [5_000, 10_000]
    with database.reading() as session:
        assert list_rows(session, scope, CatalogueItemRow, Page()).total == 0


def test_a_list_without_items_is_refused(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        owner = catalogues.add_catalogue(session, scope, "List").id

    with pytest.raises(InputRefused, match="price list"), database.writing() as session:
        import_price_list(session, scope, owner, price_list([]))


def test_a_price_that_cannot_be_kept_exactly_is_not_rounded(
    database: Database, scope: Scope
) -> None:
    item = plain_item("A", unit_price=FULL_ITEM.unit_price / 7)

    with pytest.raises(ValueError, match="cannot be kept exactly"), database.writing() as session:
        add_version(session, scope, [item])


def test_a_version_that_a_quote_rests_on_stays(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        used = add_version(session, scope, [plain_item("A")])
        unused = add_version(session, scope, [plain_item("A")])
        quotes.add_quote(session, scope, "x", priced_from(used), year=2026)

    with pytest.raises(Conflict, match="it stays"), database.writing() as session:
        catalogues.remove_catalogue_version(session, scope, used.id)
    with database.writing() as session:
        catalogues.remove_catalogue_version(session, scope, unused.id)
    with database.reading() as session:
        assert list_rows(session, scope, CatalogueItemRow, Page()).total == 1


def test_one_item_is_found_by_its_place(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        version = add_version(session, scope, [plain_item("A"), plain_item("B")])

    with database.reading() as session:
        assert catalogues.find_item(session, scope, version.id, 2).number == "B"
        with pytest.raises(NotFound):
            catalogues.find_item(session, scope, version.id, 3)


def test_the_list_of_the_tests_has_something_of_everything() -> None:
    read = price_list([plain_item("A")])

    assert [each.name for each in fields(read) if not getattr(read, each.name)] == []
