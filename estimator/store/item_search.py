"""Find items in price lists by words of their description and number."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from sqlalchemy import ARRAY, ColumnElement, Integer, Row, and_, any_, func, literal, or_, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from estimator.store.item_places import Joined, all_places, listed, page_of
from estimator.store.item_words import KIND, PIECE, pieces_of, words_of
from estimator.store.listing import Listed, Page, list_rows, order_of
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import (
    CatalogueItemRow,
    CatalogueVersionRow,
    CatalogueWordRow,
)

# Of a longer text these many words count.
MOST_WORDS = 20
_LAST = "\U0010ffff"
_PLACE = "place"
# Item set; of pieces of codes: which code of its item, and which piece of it.
_Key = tuple[int, str, str]
Places = dict[int, int]


def find_items(
    session: Session,
    scope: Scope,
    versions: Iterable[CatalogueVersionRow],
    page: Page,
    sortable: Mapping[str, InstrumentedAttribute[object]],
    *,
    search: str = "",
    kind: str = "",
) -> Listed[CatalogueItemRow]:
    """A page of the items of some versions that have all words of a text.

    An item has a word when one in its number or description begins with it, whatever the letter
    case; signs part words, but fractions stay whole ("3/4"). A text with signs alone is had by
    none. kind: only items of that kind. Sorted by place in the list unless the page says
    otherwise, which takes longer the more items are found. Raises InputRefused for a column
    that cannot be sorted by, and for a page that is too large.
    """
    order_of(CatalogueItemRow, page, sortable)
    search, kind = _storable(search), _storable(kind)
    asked = {each.item_set: each for each in versions}
    narrowed = bool(search.split() or kind)
    if narrowed and not all(each.words_kept for each in asked.values()):
        where = _as_text(list(asked), search, kind)
        return list_rows(session, scope, CatalogueItemRow, page, *where, sortable=sortable)
    found = {item_set: all_places(each.items) for item_set, each in asked.items()}
    if narrowed:
        found = _narrowed(session, scope, found, search, kind)
    total = sum(bits.bit_count() for bits in found.values())
    if page.sort not in ((), (_PLACE,)):
        within = _within(session, found) if narrowed else CatalogueItemRow.item_set.in_(list(asked))
        return list_rows(session, scope, CatalogueItemRow, page, within, sortable=sortable)
    return Listed(_load(session, scope, page_of(found, page.offset, page.limit)), total)


def _storable(text: str) -> str:
    """Without what is in no text that is kept: NUL, which PostgreSQL refuses, and half letters."""
    return text.replace("\x00", "?").encode(errors="replace").decode()


def _narrowed(session: Session, scope: Scope, found: Places, search: str, kind: str) -> Places:
    """Places of the items of a kind that have all words."""
    words = words_of(search)
    if search.split() and not words:
        return {}
    if kind:
        found = _both(found, _of_kind(session, scope, list(found), kind))
    # The longest is had by the fewest, as a rule.
    for word in sorted(words[:MOST_WORDS], key=len, reverse=True):
        if not found:
            break
        found = _both(found, _with_word(session, scope, list(found), word))
    return found


def _both(one: Places, other: Places) -> Places:
    both = {item_set: bits & other.get(item_set, 0) for item_set, bits in one.items()}
    return {item_set: bits for item_set, bits in both.items() if bits}


def _of_kind(session: Session, scope: Scope, sets: Sequence[int], kind: str) -> Places:
    joined = Joined[int]()
    where = CatalogueWordRow.word == KIND + kind
    for item_set, _, first, packed in _kept(session, scope, sets, where):
        joined.add(item_set, first, packed)
    return joined.places()


def _with_word(session: Session, scope: Scope, sets: Sequence[int], word: str) -> Places:
    """Places of items that have a word beginning so, as a word or as a code in pieces."""
    pieces = pieces_of(word)
    joined = Joined[_Key]()
    where = or_(*map(_begins, (word, *pieces)))
    for item_set, key, first, packed in _kept(session, scope, sets, where):
        which, piece = (key[-1], key[1]) if key[0] == PIECE else ("", "")
        joined.add((item_set, which, piece), first, packed)
    places = joined.places()
    found: Places = {}
    for item_set, which in {(item_set, which) for item_set, which, _ in places}:
        bits = -1
        for piece in [each[1] for each in pieces] if which else [""]:
            bits &= places.get((item_set, which, piece), 0)
        found[item_set] = found.get(item_set, 0) | bits
    return found


def _begins(word: str) -> ColumnElement[bool]:
    return and_(CatalogueWordRow.word >= word, CatalogueWordRow.word < word + _LAST)


def _kept(
    session: Session, scope: Scope, sets: Sequence[int], where: ColumnElement[bool]
) -> Iterable[Row[int, str, int, bytes]]:
    row = CatalogueWordRow
    statement = scope.rows(row).where(row.item_set.in_(sets), where)
    return session.execute(
        statement.with_only_columns(row.item_set, row.word, row.first_place, row.places)
    )


def _load(
    session: Session, scope: Scope, wanted: Sequence[tuple[int, int]]
) -> list[CatalogueItemRow]:
    if not wanted:
        return []
    by_set: dict[int, list[int]] = {}
    for item_set, place in wanted:
        by_set.setdefault(item_set, []).append(place)
    row = CatalogueItemRow
    where = [(row.item_set == each) & row.place.in_(places) for each, places in by_set.items()]
    rows = session.scalars(scope.rows(row).where(or_(*where)))
    found = {(each.item_set, each.place): each for each in rows}
    return [found[each] for each in wanted]


def _within(session: Session, found: Places) -> ColumnElement[bool]:
    """The condition that an item is one of those found, which may be very many."""
    row = CatalogueItemRow
    sqlite = session.get_bind().dialect.name == "sqlite"
    conditions: list[ColumnElement[bool]] = []
    for item_set, bits in found.items():
        places = listed(bits)
        if sqlite:
            each = func.json_each(str(places)).table_valued("value")
            at: ColumnElement[bool] = row.place.in_(select(each.c.value))
        else:
            at = row.place == any_(literal(places, ARRAY(Integer)))
        conditions.append((row.item_set == item_set) & at)
    return or_(*conditions) if conditions else literal(False)


def _as_text(sets: Sequence[int], search: str, kind: str) -> Iterator[ColumnElement[bool]]:
    """For lists imported before words were kept: each word stands anywhere in the text."""
    row = CatalogueItemRow
    yield row.item_set.in_(sets)
    for word in search.split()[:MOST_WORDS]:
        yield or_(
            row.description.icontains(word, autoescape=True),
            row.number.icontains(word, autoescape=True),
        )
    if kind:
        yield row.kind == kind
