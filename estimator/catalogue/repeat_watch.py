"""Which item numbers of a long list stand in it more than once, in little memory."""

from array import array
from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import replace

from estimator.catalogue.price_row import RowRead
from estimator.catalogue.repeats import repeat_faults

_PARTS = 64


class RepeatWatch:
    """Counts identities by their hash, eight bytes each.

    Two identities with the same hash are only looked at together; they are not mixed up.
    """

    def __init__(self) -> None:
        self._parts = [array("q") for _ in range(_PARTS)]
        self._adders = [part.append for part in self._parts]

    def add(self, identity: Hashable) -> None:
        """Take a row into account."""
        code = hash(identity)
        self._adders[code % _PARTS](code)

    def repeated(self) -> dict[int, int]:
        """How often hashes stand that do more than once."""
        found: dict[int, int] = {}
        for part in self._parts:
            counts = Counter(part)
            found.update({code: count for code, count in counts.items() if count > 1})
        return found


def settle_repeats(rows: Iterable[RowRead], repeated: Mapping[int, int]) -> Iterator[RowRead]:
    """Rows with the faults of those that repeat an item.

    Rows come in their order, but those of repeated items only when all of them were read.
    """
    if not repeated:
        yield from rows
        return
    waiting: dict[int, list[RowRead]] = {}
    for row in rows:
        code = hash(row.identity)
        if code not in repeated:
            yield row
            continue
        group = waiting.setdefault(code, [])
        group.append(row)
        if len(group) == repeated[code]:
            yield from _settled(waiting.pop(code))
    for group in waiting.values():
        yield from _settled(group)


def _settled(group: list[RowRead]) -> Iterator[RowRead]:
    faults = repeat_faults(group)
    for row in group:
        fault = faults.get((row.sheet, row.row))
        yield row if fault is None else replace(row, item=None, faults=(*row.faults, fault))
