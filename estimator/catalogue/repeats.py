"""Rows of a price list that name one item more than once."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from estimator.catalogue.price_row import RowRead
from estimator.finding import Fault

_NAMED_ROWS = 5
# A later price may come with another pack; another part has another item number.
_MAY_NOT_CHANGE = frozenset({"kind", "attributes", "currency"})


Place = tuple[str, int]


def repeat_faults(rows: Iterable[RowRead]) -> Mapping[Place, Fault]:
    """A fault by sheet and row number for each row that repeats an item.

    The same item twice alike: the first row stands, the others are reported. The same item
    with another price, unit, pack, kind, attribute or currency: all its rows are reported,
    since we cannot know which one is right. Prices from different days on may differ: each
    holds from its own day, until the next (see validity.py). Rows that could not be read do
    not count.
    """
    first: dict[tuple[str, str], RowRead] = {}
    groups: dict[tuple[str, str], list[RowRead]] = {}
    for row in rows:
        if row.goods is None or row.price is None or not row.identity[1]:
            continue
        before = first.setdefault(row.identity, row)
        if before is not row:
            groups.setdefault(row.identity, [before]).append(row)
    faults: dict[Place, Fault] = {}
    for (_, number), group in groups.items():
        faults.update(_faults_of(number, group))
    return faults


def _faults_of(number: str, group: Sequence[RowRead]) -> Mapping[Place, Fault]:
    by_day: dict[date | None, list[RowRead]] = defaultdict(list)
    for row in group:
        by_day[row.item.valid_from if row.item is not None else None].append(row)
    differing = _goods_differ(group) if len(by_day) > 1 else ""
    if differing:
        return _all_of(number, group, differing)
    faults: dict[Place, Fault] = {}
    for same_day in by_day.values():
        differing = _differing(same_day)
        if differing:
            faults.update(_all_of(number, same_day, differing))
            continue
        for row in same_day[1:]:
            faults[row.sheet, row.row] = _fault(
                row, f"{number!r} stands in {_place(same_day[0])} already, with the same price"
            )
    return faults


def _all_of(number: str, group: Sequence[RowRead], differing: str) -> Mapping[Place, Fault]:
    if len({row.sheet for row in group}) == 1:
        stands = "rows " + ", ".join(str(row.row) for row in group[:_NAMED_ROWS])
    else:
        stands = ", ".join(map(_place, group[:_NAMED_ROWS]))
    more = " and others" if len(group) > _NAMED_ROWS else ""
    return {
        (row.sheet, row.row): _fault(
            row,
            f"{number!r} stands in {stands}{more} with different {differing}. "
            "Keep the row that is right and remove the others",
        )
        for row in group
    }


def _differing(rows: Sequence[RowRead]) -> str:
    aspects: dict[str, set[object]] = defaultdict(set)
    for row in rows:
        goods, item = row.goods, row.item
        if goods is None:
            continue
        aspects["unit"].add(goods.family)
        aspects["price"].add((row.price, goods.meaning))
        aspects["pack"].add((goods.pack, goods.pieces))
        aspects["kind"].add(goods.kind)
        aspects["attributes"].add(goods.attributes)
        if item is not None:
            aspects["currency"].add(item.currency)
            aspects["quantity breaks"].add(item.breaks)
            aspects["minimum order"].add((item.minimum_packs, item.pack_increment))
            aspects["last day"].add(item.valid_until)
            aspects["contents"].add(item.covers)
    return ", ".join(aspect for aspect, values in aspects.items() if len(values) > 1)


def _goods_differ(rows: Sequence[RowRead]) -> str:
    """What differs between prices of different days that may not: what the item is."""
    differing = _differing(rows).split(", ")
    return ", ".join(aspect for aspect in differing if aspect in _MAY_NOT_CHANGE)


def _place(row: RowRead) -> str:
    return f"sheet {row.sheet}, row {row.row}" if row.sheet else f"row {row.row}"


def _fault(row: RowRead, message: str) -> Fault:
    return Fault(f"{_place(row)}, column item number", message)
