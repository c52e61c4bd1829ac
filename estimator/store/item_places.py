"""Places of items in their lists as the bits of a whole number, quick to join and to count."""

import sys
from array import array
from collections.abc import Hashable, Iterable, Mapping
from typing import Generic, TypeVar

from estimator.store.item_words import BITMAP_BYTES

_BITS = tuple(1 << bit for bit in range(8))
_SLICE = 64
Key = TypeVar("Key", bound=Hashable)


def all_places(items: int) -> int:
    """The places of all items of a list: 1 up to their number."""
    return (1 << items + 1) - 2


class Joined(Generic[Key]):
    """Places of several words, joined under the same key."""

    def __init__(self) -> None:
        self._many: dict[tuple[Key, int], int] = {}
        self._few: dict[tuple[Key, int], array[int]] = {}

    def add(self, key: Key, first: int, packed: bytes) -> None:
        """Join the places of a word as ``item_words`` packed them. first: of their segment."""
        at = (key, first)
        if len(packed) == BITMAP_BYTES:
            self._many[at] = self._many.get(at, 0) | int.from_bytes(packed, "little")
        else:
            self._few.setdefault(at, array("I")).frombytes(packed)

    def places(self) -> dict[Key, int]:
        """All places by key."""
        for at, few in self._few.items():
            self._many[at] = self._many.get(at, 0) | _bits_of(few)
        found: dict[Key, int] = {}
        for (key, first), bits in self._many.items():
            found[key] = found.get(key, 0) | bits << first
        return found


def _bits_of(places: "array[int]") -> int:
    if sys.byteorder == "big":
        places.byteswap()
    bits = bytearray(BITMAP_BYTES)
    for place in places:
        bits[place >> 3] |= _BITS[place & 7]
    return int.from_bytes(bits, "little")


def listed(bits: int) -> list[int]:
    """The places as numbers, the lowest first."""
    return [place for _, place in page_of({0: bits}, 0, bits.bit_count())]


def page_of(by_set: Mapping[int, int], offset: int, limit: int) -> list[tuple[int, int]]:
    """(Item set, place) of a page, by place and then by set."""
    length = max((bits.bit_length() + 7) // 8 for bits in by_set.values()) if by_set else 0
    raws = {item_set: bits.to_bytes(length, "little") for item_set, bits in by_set.items()}
    found: list[tuple[int, int]] = []
    for start in range(0, length, _SLICE):
        pieces = [
            (item_set, int.from_bytes(raw[start : start + _SLICE], "little"))
            for item_set, raw in raws.items()
        ]
        count = sum(piece.bit_count() for _, piece in pieces)
        if offset >= count:
            offset -= count
            continue
        there = sorted(_in_slice(pieces, start * 8))[offset : offset + limit - len(found)]
        found += [(item_set, place) for place, item_set in there]
        offset = 0
        if len(found) >= limit:
            break
    return found


def _in_slice(pieces: Iterable[tuple[int, int]], first: int) -> Iterable[tuple[int, int]]:
    for item_set, piece in pieces:
        while piece:
            lowest = piece & -piece
            yield first + lowest.bit_length() - 1, item_set
            piece ^= lowest
