"""The words of items, and where in their list each word stands, as it is kept.

A list never changes, so its words are written once, with its items: for each word the places of
the items that have it. That takes the same time to search in lists of any size, keeps apart
the lists of each organisation, and finds the same on every database.
"""

import re
import sys
from array import array
from collections.abc import Callable, Iterator
from operator import itemgetter

# Places of one segment; beyond, what is held in memory is written and begun anew.
SEGMENT = 1 << 18
BITMAP_BYTES = SEGMENT // 8
_MOST_WORDS = 300_000
_MOST_OF_ITEM = 60
_LONGEST = 40
# Fractions and figures stay whole ("3/4", "12/2", "0.5"); any other sign parts words.
_WORD = re.compile(r"[0-9]{1,4}(?:[./][0-9]{1,4}(?![0-9]))+|[^\W_]+")
# From so many characters on a word with figures is a code: nearly each item has another one,
# so it is kept in pieces, of which there are few.
_CODE = 6
_PIECE = 3
_MOST_CODES = 10
KIND, PIECE = "=", "+"
_BITS = tuple(1 << bit for bit in range(8))
_word_of = itemgetter(0)
Kept = tuple[str, int, bytes]


def words_of(text: str) -> list[str]:
    """The words of a text in small letters, each once, shortened where it is endless."""
    return list(dict.fromkeys([word[:_LONGEST] for word in _WORD.findall(text.casefold())]))


def keys_of(text: str) -> list[str]:
    """Under what an item with this text is kept."""
    keys: list[str] = []
    codes = 0
    for word in words_of(text)[:_MOST_OF_ITEM]:
        if len(word) >= _CODE and not word.isalpha() and codes < _MOST_CODES:
            keys += [f"{piece}{codes}" for piece in pieces_of(word)]
            codes += 1
        else:
            keys.append(word)
    return keys


def pieces_of(code: str) -> list[str]:
    """Under what a code, or the beginning of one, is kept; each piece with where it stands.

    Which code of its item it is follows, so that pieces of two codes are not taken for one.
    """
    return [
        f"{PIECE}{chr(97 + at // _PIECE)}{code[at : at + _PIECE]}"
        for at in range(0, len(code), _PIECE)
    ]


class WordKeeper:
    """Gathers the words of a list, item by item in the order of their places."""

    def __init__(self) -> None:
        self._places: dict[str, array[int]] = {}
        self._adders: dict[str, Callable[[int], None]] = {}
        self._first = 1
        self._next = 1

    @property
    def full(self) -> bool:
        """Whether what was gathered is to be taken before the next item is added."""
        return self._next - self._first >= SEGMENT or len(self._places) >= _MOST_WORDS

    def add(self, number: str, description: str, kind: str) -> None:
        """Take the next item into account."""
        at = self._next - self._first
        self._next += 1
        adders = self._adders
        for key in (KIND + kind, *keys_of(f"{number} {description}")):
            adder = adders.get(key)
            if adder is None:
                places = self._places[key] = array("I")
                adder = adders[key] = places.append
            adder(at)

    def take(self) -> Iterator[Kept]:
        """What was gathered, in the order of words: word, first place of the segment, places."""
        found, first = sorted(self._places.items(), key=_word_of), self._first
        self._places, self._adders, self._first = {}, {}, self._next
        for word, places in found:
            yield word, first, _packed(places)


def _packed(places: "array[int]") -> bytes:
    """Places, counted from the first of the segment: few as numbers of four bytes, many as bits."""
    if len(places) * places.itemsize < BITMAP_BYTES:
        if sys.byteorder == "big":
            places.byteswap()
        return places.tobytes()
    bits = bytearray(BITMAP_BYTES)
    for place in places:
        bits[place >> 3] |= _BITS[place & 7]
    return bytes(bits)
