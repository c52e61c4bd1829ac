"""Rows of a price list that name one item more than once."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from estimator.catalogue.price_row import Offered, RowRead
from estimator.finding import Fault

_NAMED_ROWS = 5


def repeat_faults(rows: Iterable[RowRead]) -> Mapping[int, Fault]:
    """A fault by row number for each row that repeats an item.

    The same item twice alike: the first row stands, the others are reported. The same item
    with another price, unit, pack, kind, attribute or currency: all its rows are reported,
    since we cannot know which one is right. Rows that could not be read do not count.
    """
    groups: dict[tuple[str, str], list[RowRead]] = defaultdict(list)
    for row in rows:
        if row.offered is not None and row.identity[1]:
            groups[row.identity].append(row)
    faults: dict[int, Fault] = {}
    for (_, number), group in groups.items():
        if len(group) < 2:
            continue
        first = group[0]
        differing = _differing([row.offered for row in group if row.offered is not None])
        if not differing:
            for row in group[1:]:
                faults[row.row] = _fault(
                    row.row, f"{number!r} stands in row {first.row} already, with the same price"
                )
            continue
        stands = ", ".join(str(row.row) for row in group[:_NAMED_ROWS])
        more = " and others" if len(group) > _NAMED_ROWS else ""
        for row in group:
            faults[row.row] = _fault(
                row.row,
                f"{number!r} stands in rows {stands}{more} with different {differing}. "
                "Keep the row that is right and remove the others",
            )
    return faults


def _differing(offers: Sequence[Offered]) -> str:
    return ", ".join(
        aspect
        for aspect, values in (
            ("unit", {offer.family for offer in offers}),
            ("price", {(offer.price, offer.meaning) for offer in offers}),
            ("pack", {(offer.pack, offer.pieces) for offer in offers}),
            ("kind", {offer.kind for offer in offers}),
            ("attributes", {offer.attributes for offer in offers}),
            ("currency", {offer.currency for offer in offers}),
        )
        if len(values) > 1
    )


def _fault(row: int, message: str) -> Fault:
    return Fault(f"row {row}, column item number", message)
