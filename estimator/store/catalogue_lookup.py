"""Out of catalogues of any size, the items that can serve the parts of one job."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TypeVar
from uuid import UUID

from sqlalchemy import ColumnElement, TextClause, bindparam, text
from sqlalchemy.orm import InstrumentedAttribute, Session

from estimator.catalogue.describe_row import Confirmed
from estimator.catalogue.records import Item, PriceList
from estimator.store.catalogues import find_catalogue_version
from estimator.store.confirmed_matches import confirmed_as, confirmed_of
from estimator.store.item_match import hashes_of_parts, unit_of
from estimator.store.item_rows import item_of
from estimator.store.list_report import price_list_of
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueVersionRow
from estimator.takeoff.records import Part

# Below the number of parameters that either database takes in one statement.
_AT_ONCE = 5_000
# As the index of kits has it, word for word, or it would not be used.
_IS_KIT = text("catalogue_items.kit")
# Of two indexes that fit alike, SQLite would take the one that reads the whole list.
_KITS_IN_SQLITE = text(
    "SELECT item_set, place FROM catalogue_items INDEXED BY ix_catalogue_items_kits "
    "WHERE organisation_id = :organisation AND item_set IN :sets AND kit"
).bindparams(bindparam("sets", expanding=True))
Value = TypeVar("Value", int, str)
_Found = dict[tuple[int, int], Item]


def lists_for_parts(
    session: Session, scope: Scope, version_ids: Sequence[UUID], parts: Sequence[Part]
) -> tuple[PriceList, ...]:
    """Price lists with just those items that can serve the parts, in the order of the versions.

    Items that fit exactly, that differ for looks only, that a person confirmed, kits, and
    other prices of the same items on other days. Confirmed matches count as they stand now, not
    as they stood at the import. Index these lists and plan the purchase as with whole ones;
    only findings that count rows of a whole list count the loaded ones. Raises NotFound.
    """
    versions = [find_catalogue_version(session, scope, each) for each in version_ids]
    sets = [each.item_set for each in versions]
    hashes = hashes_of_parts(parts)
    confirmed = dict(confirmed_as(session, scope, hashes))
    found = _load(session, scope, sets, CatalogueItemRow.match_hash, hashes)
    found |= _kits(session, scope, sets)
    numbers = {number for _, number in confirmed} | _dated_numbers(versions, sets, found)
    found |= _load(session, scope, sets, CatalogueItemRow.number, numbers)
    unsure = {item.number for item in found.values() if item.read_from != "columns"}
    for some in _chunks(unsure):
        confirmed |= confirmed_of(session, scope, some)
    return tuple(
        price_list_of(version, _as_confirmed(found, version.item_set, confirmed))
        for version in versions
    )


def whole_list(session: Session, scope: Scope, version_id: UUID) -> PriceList:
    """A version with all its items as they were imported. Raises NotFound."""
    version = find_catalogue_version(session, scope, version_id)
    rows = session.scalars(
        scope.rows(CatalogueItemRow)
        .where(CatalogueItemRow.item_set == version.item_set)
        .order_by(CatalogueItemRow.place)
    )
    return price_list_of(version, tuple(item_of(row) for row in rows))


def _dated_numbers(
    versions: Sequence[CatalogueVersionRow], sets: Sequence[int], found: _Found
) -> set[str]:
    """Numbers of which there may be prices on other days, under whatever description."""
    dated = {item_set for item_set, version in zip(sets, versions, strict=True) if version.dated}
    return {item.number for (item_set, _), item in found.items() if item_set in dated}


def _load(
    session: Session,
    scope: Scope,
    sets: Sequence[int],
    column: InstrumentedAttribute[Value],
    values: Iterable[Value],
) -> _Found:
    found: _Found = {}
    for some in _chunks(values):
        found |= _rows(session, scope, sets, column.in_(some))
    return found


def _rows(
    session: Session, scope: Scope, sets: Sequence[int], where: ColumnElement[bool] | TextClause
) -> _Found:
    rows = session.scalars(
        scope.rows(CatalogueItemRow).where(CatalogueItemRow.item_set.in_(sets), where)
    )
    return {(row.item_set, row.place): item_of(row) for row in rows}


def _kits(session: Session, scope: Scope, sets: Sequence[int]) -> _Found:
    if session.get_bind().dialect.name != "sqlite":
        return _rows(session, scope, sets, _IS_KIT)
    asked = {"organisation": scope.organisation_id, "sets": list(sets)}
    places: dict[int, list[int]] = {}
    for item_set, place in session.execute(_KITS_IN_SQLITE, asked):
        places.setdefault(item_set, []).append(place)
    found: _Found = {}
    for item_set, those in places.items():
        found |= _load(session, scope, [item_set], CatalogueItemRow.place, those)
    return found


def _chunks(values: Iterable[Value]) -> Iterable[list[Value]]:
    ordered = list(values)
    for start in range(0, len(ordered), _AT_ONCE):
        yield ordered[start : start + _AT_ONCE]


def _as_confirmed(found: _Found, item_set: int, confirmed: Confirmed) -> tuple[Item, ...]:
    items: list[Item] = []
    for (owner, _), item in sorted(found.items(), key=lambda entry: entry[0]):
        if owner != item_set:
            continue
        known = confirmed.get((item.supplier.casefold(), item.number))
        if known is None or item.read_from == "columns":
            items.append(item)
        elif unit_of(known[0]) == item.unit:
            kind, attributes = known
            items.append(
                replace(item, kind=kind, attributes=attributes, read_from="confirmed", supposed=())
            )
        # Counted in another unit than it was priced in: the file has to be read again.
    return tuple(items)
