"""Find items in price lists by words of their description and number."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import (
    ARRAY,
    ColumnElement,
    Integer,
    any_,
    bindparam,
    func,
    literal,
    or_,
    select,
    text,
)  # fmt: skip
from sqlalchemy.orm import InstrumentedAttribute, Session

from estimator.store.item_places import Joined, all_places, listed, page_of
from estimator.store.item_words import KIND, pieces_of, words_of
from estimator.store.listing import Listed, Page, list_rows, order_of
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueVersionRow

# Of a longer text these many words count.
MOST_WORDS = 20
_LAST = "\U0010ffff"
_PLACE = "place"
_RANGE = (
    "SELECT {at} AS asked, item_set, word, first_place, places FROM catalogue_words "
    "WHERE organisation_id = :organisation AND item_set IN :sets "
    "AND word >= :from_{at} AND word < :to_{at}"
)
Places = dict[int, int]
# Item set, word, first place of the segment, places in it.
_Kept = tuple[int, str, int, bytes]


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
    # Item sets are counted in each organisation, so another's version would mean one of ours.
    mine = [each for each in versions if each.organisation_id == scope.organisation_id]
    asked = {each.item_set: each for each in mine}
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
    words = words_of(search)[:MOST_WORDS]
    if search.split() and not words:
        return {}
    asked = [_Asked(word, [word], pieces_of(word)) for word in words]
    if kind:
        # Also kinds that begin so come, and are left out when they are joined.
        asked.append(_Asked(KIND + kind, [KIND + kind], []))
    kept = _kept(session, scope, list(found), [key for each in asked for key in each.keys])
    for each in asked:
        mine = {key: kept.get(key, []) for key in each.keys}
        here = each.places(mine, exactly=each.word.startswith(KIND))
        found = {at: both for at, bits in found.items() if (both := bits & here.get(at, 0))}
    return found


@dataclass(frozen=True, slots=True)
class _Asked:
    """One word that items must have: as a word that begins so, or as a code, in all its pieces."""

    word: str
    whole: list[str]
    pieces: list[str]

    @property
    def keys(self) -> list[str]:
        return self.whole + self.pieces

    def places(self, kept: Mapping[str, list[_Kept]], *, exactly: bool) -> Places:
        """Places by item set."""
        joined = Joined[int]()
        for key in self.whole:
            for item_set, word, first, packed in kept[key]:
                if word == key or not exactly:
                    joined.add(item_set, first, packed)
        found = joined.places()
        for (item_set, _), bits in self._codes(kept).items():
            found[item_set] = found.get(item_set, 0) | bits
        return found

    def _codes(self, kept: Mapping[str, list[_Kept]]) -> dict[tuple[int, str], int]:
        """Places by item set and by which code of its item it is that begins so."""
        found: dict[tuple[int, str], int] = {}
        # The last pieces are had by the fewest, as a rule.
        for at, key in enumerate(reversed(self.pieces)):
            joined = Joined[tuple[int, str]]()
            for item_set, word, first, packed in kept[key]:
                if not at or (item_set, word[-1]) in found:
                    joined.add((item_set, word[-1]), first, packed)
            here = joined.places()
            found = {key: bits & found.get(key, -1) for key, bits in here.items()}
        return found


def _kept(
    session: Session, scope: Scope, sets: Sequence[int], keys: Sequence[str]
) -> Mapping[str, list[_Kept]]:
    """What is kept under all that begins like each key.

    One range a part of the statement: with several in one, both databases would read all words
    of a list.
    """
    if not sets:
        return {}
    ranges = " UNION ALL ".join(_RANGE.format(at=at) for at in range(len(keys)))
    statement = text(ranges).bindparams(bindparam("sets", expanding=True))
    values: dict[str, object] = {"organisation": scope.organisation_id, "sets": sets}
    for at, key in enumerate(keys):
        values |= {f"from_{at}": key, f"to_{at}": key + _LAST}
    found: dict[str, list[_Kept]] = {}
    for at, *kept in session.execute(statement, values, execution_options=scope.options):
        found.setdefault(keys[at], []).append(tuple(kept))
    return found


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
    return [found[each] for each in wanted if each in found]


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
