"""Items are found by the beginnings of their words, the same on each database."""

import random
import re
from collections.abc import Sequence
from decimal import Decimal

import pytest
from sqlalchemy import text
from sqlalchemy.orm import Session
from store.store_rows import add_version, plain_item, price_list

from estimator.catalogue.records import Item
from estimator.finding import InputRefused
from estimator.store import item_bulk
from estimator.store.catalogue_import import import_price_list
from estimator.store.catalogues import add_catalogue, remove_catalogue_version
from estimator.store.database import Database
from estimator.store.item_search import find_items
from estimator.store.item_words import row_number, words_of
from estimator.store.listing import Page
from estimator.store.organisations import delete_organisation
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueVersionRow

COLUMNS = {
    "place": CatalogueItemRow.place,
    "item_number": CatalogueItemRow.number,
    "unit_price": CatalogueItemRow.unit_price,
}
FIRST = Page(200)


def keep(database: Database, scope: Scope, items: Sequence[Item]) -> CatalogueVersionRow:
    with database.writing() as session:
        return add_version(session, scope, items)


def described(*descriptions: str) -> list[Item]:
    return [plain_item(f"N-{at}", description=each) for at, each in enumerate(descriptions, 1)]


def numbers(
    database: Database,
    scope: Scope,
    versions: Sequence[CatalogueVersionRow],
    search: str,
    page: Page = FIRST,
    kind: str = "",
) -> list[str]:
    with database.reading() as session:
        found = find_items(session, scope, versions, page, COLUMNS, search=search, kind=kind)
    if page is FIRST:
        assert found.total == len(found.rows)
    return [row.number for row in found.rows]


@pytest.mark.parametrize(
    ("search", "found"),
    [
        ("thhn", ["N-1", "N-2"]),
        ("THHN Bla", ["N-1"]),
        ("blk", []),
        ("lack", []),  # Within a word: not found.
        ("10", ["N-1", "N-3"]),
        ("3/4", ["N-4"]),
        ('3/4"', ["N-4"]),
        ("3", ["N-3", "N-4"]),
        ("circuit", ["N-3"]),
        ("n-4", ["N-4"]),
        ("conduit größe", ["N-4"]),
        ("CONDUIT GRÖSSE", ["N-4"]),
        ("", ["N-1", "N-2", "N-3", "N-4"]),
        ("  ", ["N-1", "N-2", "N-3", "N-4"]),
        ("thhn nothing", []),
        ("AB-1234567", ["N-2"]),
        ("ab 1234", ["N-2"]),
        ("12345678", []),
        ("9876", ["N-2"]),
    ],
)
def test_items_are_found_by_the_beginnings_of_all_words(
    database: Database, scope: Scope, search: str, found: list[str]
) -> None:
    version = keep(
        database,
        scope,
        described(
            "10 AWG THHN, black", "thhn white (AB-1234567/98765)", "10-circuit switch 30 A",
            '3/4" EMT conduit Größe M',
        ),
    )  # fmt: skip

    assert numbers(database, scope, [version], search) == found


def test_words_side_by_side_are_not_taken_for_one(database: Database, scope: Scope) -> None:
    version = keep(database, scope, described("AAA111 BBB222", "AAA222 BBB111"))

    assert numbers(database, scope, [version], "aaa222") == ["N-2"]
    assert numbers(database, scope, [version], "aaa2") == ["N-2"]
    assert numbers(database, scope, [version], "bbb2 aaa") == ["N-1"]
    assert numbers(database, scope, [version], "aaa222bbb") == []


HOSTILE = (
    "'", '"', "%", "_", "*", "\\", "100%", '"thhn" OR 1', "thhn*", "NEAR(a b)", "a:b & !c | d",
    "-thhn", "thhn\x00black", "\x00", "\ud800", "+a", "=conductor", "\U0010ffff", "';--", "(((",
    "x" * 10_000, "thhn " * 2_000, " ".join(f"w{n}" for n in range(2_000)), "%" * 10_000, "½ ① ﬁ",
)  # fmt: skip


@pytest.mark.parametrize("search", HOSTILE, ids=range(len(HOSTILE)))
@pytest.mark.parametrize("kept", [True, False])
def test_no_text_to_search_for_is_an_error(
    database: Database, scope: Scope, search: str, kept: bool
) -> None:
    version = keep(database, scope, described("10 AWG THHN, black", "wire"))
    version.words_kept = kept

    found = numbers(database, scope, [version], search, Page(200))

    assert set(found) <= {"N-1", "N-2"}
    if kept and not re.search(r"\w", search.replace("_", "")):
        assert not found
    assert numbers(database, scope, [version], "wire", kind=search) == []


def test_only_lists_that_are_asked_for_and_of_the_own_organisation_are_searched(
    database: Database, scope: Scope, other: Scope
) -> None:
    mine = keep(database, scope, described("wire"))
    keep(database, scope, described("wire"))
    foreign = keep(database, other, described("wire", "wire"))

    assert numbers(database, scope, [mine], "wire") == ["N-1"]
    assert numbers(database, scope, [], "wire") == []
    # Item sets are counted in each organisation: this one has the number of mine.
    assert foreign.item_set == mine.item_set
    assert numbers(database, other, [foreign], "wire") == ["N-1", "N-2"]
    assert numbers(database, scope, [foreign], "wire") == []
    assert numbers(database, scope, [foreign], "") == []


def words_left(session: Session, scope: Scope) -> int:
    """Of how many items of the organisation words are kept."""
    if session.get_bind().dialect.name == "sqlite":
        first, last = (row_number(scope.organisation_id + more, 0, 0) for more in (0, 1))
        kept = "catalogue_item_words WHERE rowid BETWEEN :first AND :last"
        found = session.execute(
            text(f"SELECT count(*) FROM {kept}"), {"first": first, "last": last}
        )
    else:
        found = session.execute(
            text("SELECT count(words) FROM catalogue_items WHERE organisation_id = :mine"),
            {"mine": scope.organisation_id},
        )
    return int(found.scalar_one())


def test_the_words_of_a_list_go_with_it(database: Database, scope: Scope, other: Scope) -> None:
    version = keep(database, scope, described("wire", "switch"))
    keep(database, scope, described("wire"))
    foreign = keep(database, other, described("wire"))
    with database.writing() as session:
        assert words_left(session, scope) == 3
        remove_catalogue_version(session, scope, version.id)
        assert words_left(session, scope) == 1

    with database.writing() as session:
        delete_organisation(session, scope)
        assert words_left(session, scope) == 0

    assert numbers(database, scope, [version], "wire") == []
    assert numbers(database, other, [foreign], "wire") == ["N-1"]


def test_words_stay_with_their_items_when_the_file_is_packed_anew(
    database: Database, scope: Scope
) -> None:
    first = keep(database, scope, described("wire"))
    second = keep(database, scope, described("switch", "wire"))
    with database.writing() as session:
        remove_catalogue_version(session, scope, first.id)
    with database.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.connection.driver_connection.execute("VACUUM")  # type: ignore[union-attr]

    assert numbers(database, scope, [second], "wire") == ["N-2"]


def test_what_the_index_of_sqlite_cannot_number_is_refused() -> None:
    assert row_number(1, 2, 3) == 1 << 43 | 2 << 24 | 3
    assert row_number(2**20 - 1, 2**19 - 1, 2**24 - 1) == 2**63 - 1
    for beyond in ((2**20, 1, 1), (1, 2**19, 1), (1, 1, 2**24)):
        with pytest.raises(ValueError, match="more than the text index can number"):
            row_number(*beyond)


def test_a_list_without_kept_words_is_searched_as_text(database: Database, scope: Scope) -> None:
    version = keep(database, scope, described("thhn black", "thhn white", "switch"))
    gone = "UPDATE catalogue_items SET words = NULL"
    with database.writing() as session:
        session.execute(text("DELETE FROM catalogue_item_words" if database.sqlite else gone))
    version.words_kept = False

    assert numbers(database, scope, [version], "THHN whi") == ["N-2"]
    assert numbers(database, scope, [version], "", kind="conductor") == ["N-1", "N-2", "N-3"]


def test_a_page_that_cannot_be_is_refused(database: Database, scope: Scope) -> None:
    version = keep(database, scope, described("wire"))

    for page in (Page(0), Page(100_000), Page(5, -1), Page(5, 0, ("colour",))):
        with pytest.raises(InputRefused):
            numbers(database, scope, [version], "wire", page)


WORDS = ("thhn", "thwn", "emt", "black", "blue", "10", "10/3", "ab1234", "ab1299", "awg", "a")


def random_items(seed: int, count: int) -> list[Item]:
    chance = random.Random(seed)
    return [
        plain_item(
            f"{chance.choice('AB')}-{place:06}",
            row=place,
            kind=chance.choice(("conductor", "raceway")),
            description=" ".join(chance.choices(WORDS, k=chance.randint(1, 4))),
            unit_price=Decimal(chance.randint(1, 9999)) / 10_000,
        )
        for place in range(1, count + 1)
    ]


def has(item: Item, search: str, kind: str) -> bool:
    """What is meant by finding, in plain words: each asked word begins one of the item's."""
    own = re.split(r"[ -]", f"{item.number} {item.description}".lower())
    return kind in ("", item.kind) and all(
        any(each.startswith(asked) for each in own) for asked in search.lower().split()
    )


@pytest.mark.parametrize("seed", range(3))
def test_long_lists_are_searched_as_one_would_item_by_item(
    database: Database, scope: Scope, seed: int
) -> None:
    lists = [random_items(10 * seed + at, count) for at, count in enumerate((300, 64, 1, 129))]
    versions = [keep(database, scope, items) for items in lists]
    chance = random.Random(seed)

    for _ in range(40):
        search = " ".join(
            chance.choice((*WORDS, "A", "00", "0001", "000012", "b", "t"))[: chance.randint(1, 7)]
            for _ in range(chance.randint(0, 3))
        )
        kind = chance.choice(("", "", "conductor"))
        expected = [
            (item.row, at, item)
            for at, items in enumerate(lists)
            for item in items
            if has(item, search, kind)
        ]
        expected.sort(key=lambda each: each[:2])
        page = Page(chance.randint(1, 100), chance.choice((0, 0, 3, 64, 500)))
        with database.reading() as session:
            found = find_items(
                session, scope, versions, page, COLUMNS, search=search, kind=kind
            )  # fmt: skip
            by_price = find_items(
                session, scope, versions, Page(page.limit, 0, ("-unit_price",)), COLUMNS,
                search=search, kind=kind,
            )  # fmt: skip
        told = [item.number for _, _, item in expected][page.offset : page.offset + page.limit]
        assert [row.number for row in found.rows] == told, (search, kind, page)
        assert found.total == by_price.total == len(expected), (search, kind)
        dearest = sorted((item.unit_price for _, _, item in expected), reverse=True)
        assert [row.unit_price for row in by_price.rows] == dearest[: page.limit]


TEXTS = (
    "10 AWG/THHN 3/4in. (1-1/4) _a_b", "“Größe” №5 ﬁ ½ 12/2/98765", "a\xa0b\u2013c",
    "AB-1234567/98765 B0000123 x" + "y" * 60, "1.2.3.4 0.5/2", "ÀÉ Straße İ 電線 \U0001e922\ua7c0",
)  # fmt: skip


@pytest.mark.parametrize("description", TEXTS, ids=range(len(TEXTS)))
def test_words_are_found_as_they_were_told_apart(
    database: Database, scope: Scope, description: str
) -> None:
    version = keep(database, scope, described(description, "else"))

    assert numbers(database, scope, [version], description) == ["N-1"]
    for word in words_of(description):
        assert numbers(database, scope, [version], word) == ["N-1"], word
        assert numbers(database, scope, [version], word[:1]) == ["N-1"], word
        assert numbers(database, scope, [version], f"{word}zz") == [] or len(word) == 40


def test_of_an_endless_description_the_beginning_is_searched(
    database: Database, scope: Scope
) -> None:
    version = keep(database, scope, described(" ".join(f"w{at}x" for at in range(100))))

    assert numbers(database, scope, [version], "w57x") == ["N-1"]
    assert numbers(database, scope, [version], "w58x") == []


def test_progress_is_told(
    database: Database, scope: Scope, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(item_bulk, "PROGRESS_EVERY", 50)
    told: list[int] = []
    with database.writing() as session:
        owner = add_catalogue(session, scope, "Long")
        read = price_list(random_items(1, 130))
        import_price_list(session, scope, owner.id, read, progress=told.append)

    assert told == [50, 100, 130]
