"""Find items in price lists by words of their description and number.

The databases search: the text index FTS5 of SQLite, and a tsvector column of PostgreSQL, both
with words that ``item_words`` told apart. No model has them: they are told in plain SQL.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from sqlalchemy import ColumnElement, Integer, cast, false, literal_column, or_, text, tuple_
from sqlalchemy.dialects.postgresql import TSQUERY
from sqlalchemy.orm import InstrumentedAttribute, Session

from estimator.store.item_words import PLACE_BITS, SET_BITS, asked_words, words_of
from estimator.store.listing import Listed, Page, list_rows, order_of
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueVersionRow

# Of a longer text these many words count.
MOST_WORDS = 20
_BY_PLACE = ("place",)
_INDEXED = (
    f"SELECT (rowid >> {PLACE_BITS}) & {2**SET_BITS - 1} AS item_set, "
    f"rowid & {2**PLACE_BITS - 1} AS place "
    "FROM catalogue_item_words WHERE catalogue_item_words MATCH :asked"
)
# Counts what is found as it is read: what takes the time is to gather it.
_PAGE = (
    f"WITH found AS MATERIALIZED ({_INDEXED}), page AS (SELECT item_set, place FROM found "
    "ORDER BY place, item_set LIMIT :limit OFFSET :offset) "
    "SELECT total, item_set, place FROM (SELECT count(*) AS total FROM found) LEFT JOIN page"
)
_WORDS: ColumnElement[str] = literal_column("catalogue_items.words")


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
    page = page if page.sort else replace(page, sort=_BY_PLACE)
    order_of(CatalogueItemRow, page, sortable)
    search, kind = _storable(search), _storable(kind)
    # Item sets are counted in each organisation, so another's version would mean one of ours.
    asked = [each for each in versions if each.organisation_id == scope.organisation_id]
    sets = {each.item_set: each.items for each in asked}
    narrowed = bool(search.split() or kind)
    if narrowed and not all(each.words_kept for each in asked):
        as_text = _as_text(list(sets), search, kind)
        return list_rows(session, scope, CatalogueItemRow, page, *as_text, sortable=sortable)
    words = words_of(search)[:MOST_WORDS]
    if not sets or (search.split() and not words):
        return Listed([], 0)
    row, by_place = CatalogueItemRow, page.sort == _BY_PLACE
    where: list[ColumnElement[bool]] = [row.item_set.in_(list(sets))]
    if not narrowed:
        # A later place is among the first of no list.
        where += [row.place <= page.offset + page.limit] if by_place else []
        found = list_rows(session, scope, row, page, *where, sortable=sortable)
        return replace(found, total=sum(sets.values()))
    sqlite = session.get_bind().dialect.name == "sqlite"
    wanted = asked_words(scope.organisation_id, sets, words, kind, sqlite=sqlite)
    if sqlite and by_place:
        return _page_of_index(session, scope, wanted, page)
    if sqlite:
        keys = text(_INDEXED).bindparams(asked=wanted).columns(item_set=Integer, place=Integer)
        where.append(tuple_(row.item_set, row.place).in_(keys))
    else:
        where.append(_WORDS.bool_op("@@")(cast(wanted, TSQUERY)))
    return list_rows(session, scope, row, page, *where, sortable=sortable)


def _page_of_index(
    session: Session, scope: Scope, asked: str, page: Page
) -> Listed[CatalogueItemRow]:
    """The page by place as the index of SQLite has it, from which its items are loaded."""
    values = {"asked": asked, "limit": page.limit, "offset": page.offset}
    keys = session.execute(text(_PAGE), values).all()
    places: dict[int, list[int]] = {}
    for _, item_set, place in keys:
        if place is not None:
            places.setdefault(item_set, []).append(place)
    # One condition a list: with pairs of list and place SQLite would read all items.
    row = CatalogueItemRow
    mine = [(row.item_set == item_set) & row.place.in_(some) for item_set, some in places.items()]
    statement = scope.rows(row).where(or_(false(), *mine)).order_by(row.place, row.item_set)
    return Listed(session.scalars(statement).all(), keys[0][0])


def _storable(text: str) -> str:
    """Without what is in no text that is kept: NUL, which PostgreSQL refuses, and half letters."""
    return text.replace("\x00", "?").encode(errors="replace").decode()


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
