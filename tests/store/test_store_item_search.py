"""Items are found by the beginnings of their words, the same on each database."""

import random
import re
from array import array
from collections.abc import Sequence
from decimal import Decimal

import pytest
from sqlalchemy import func, select, text
from store.store_rows import add_version, plain_item, price_list

from estimator.catalogue.records import Item
from estimator.finding import InputRefused
from estimator.store import item_bulk, item_places, item_words
from estimator.store.catalogue_import import import_price_list
from estimator.store.catalogues import add_catalogue, remove_catalogue_version
from estimator.store.database import Database
from estimator.store.item_search import find_items
from estimator.store.item_words import WordKeeper, pieces_of, words_of
from estimator.store.listing import Page
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueVersionRow

COLUMNS = {
    "place": CatalogueItemRow.place,
    "item_number": CatalogueItemRow.number,
    "unit_price": CatalogueItemRow.unit_price,
}
FIRST = Page(200)


@pytest.fixture
def small_segments(monkeypatch: pytest.MonkeyPatch) -> None:
    """Segments of 64 places, so that a short list has several and some words are kept as bits."""
    monkeypatch.setattr(item_words, "SEGMENT", 64)
    monkeypatch.setattr(item_words, "BITMAP_BYTES", 8)
    monkeypatch.setattr(item_places, "BITMAP_BYTES", 8)


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


def test_pieces_of_two_codes_are_not_taken_for_one(database: Database, scope: Scope) -> None:
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


def test_the_words_of_a_list_go_with_it(database: Database, scope: Scope) -> None:
    version = keep(database, scope, described("wire"))
    with database.writing() as session:
        remove_catalogue_version(session, scope, version.id)
        left = session.execute(
            text("SELECT count(*) FROM catalogue_words WHERE organisation_id = :mine"),
            {"mine": scope.organisation_id},
        ).scalar_one()

    assert left == 0


def test_a_list_without_kept_words_is_searched_as_text(database: Database, scope: Scope) -> None:
    version = keep(database, scope, described("thhn black", "thhn white", "switch"))
    with database.writing() as session:
        session.execute(
            text("DELETE FROM catalogue_words WHERE organisation_id = :mine"),
            {"mine": scope.organisation_id},
        )
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


@pytest.mark.usefixtures("small_segments")
@pytest.mark.parametrize("seed", range(3))
def test_long_lists_are_searched_as_one_would_item_by_item(
    database: Database, scope: Scope, seed: int
) -> None:
    lists = [random_items(10 * seed + at, count) for at, count in enumerate((300, 64, 1, 129))]
    versions = [keep(database, scope, items) for items in lists]
    segments = select(func.count(func.distinct(text("first_place")))).select_from(
        text("catalogue_words WHERE organisation_id = :mine")
    )
    with database.reading() as session:
        assert session.connection().scalar(segments, {"mine": scope.organisation_id}) == 5
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


@pytest.mark.parametrize(
    "text",
    [
        "10 AWG THHN, black", "AWG/THHN 3/4in. (1-1/4) _a_b", "“Größe” №5 ﬁ ½ 12/2/98765",
        "a\xa0b\u2013c",
        "AB-1234567/98765 B0000123 x" + "y" * 60, "\ud800 \x00x 1.2.3.4 0.5/2", "ÀÉ Straße İ", "",
    ],
)  # fmt: skip
def test_words_are_kept_as_they_are_asked_for(text: str) -> None:
    keeper = WordKeeper()
    for _ in range(2):  # Met before, it goes another way.
        keeper.add("", text, "conductor")
    kept = {word: places for word, _, places in keeper.take()}

    plain = {word for word in words_of(text) if len(word) < 6 or word.isalpha()}
    assert {word for word in kept if word[0] not in "+="} == plain
    codes = [word for word in words_of(text) if word not in plain]
    pieces = sorted(piece for word in codes for piece in pieces_of(word))
    assert sorted(word[:-1] for word in kept if word[0] == "+") == pieces
    assert {bytes(places) for places in kept.values()} == {array("I", [0, 1]).tobytes()}


def test_progress_is_told_over_all_segments(
    database: Database, scope: Scope, small_segments: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(item_bulk, "PROGRESS_EVERY", 50)
    told: list[int] = []
    with database.writing() as session:
        owner = add_catalogue(session, scope, "Long")
        read = price_list(random_items(1, 130))
        import_price_list(session, scope, owner.id, read, progress=told.append)

    assert told == [50, 100, 130]
