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
# Small letters for large ones, and a blank for every sign that parts words without more ado.
_APART = bytes(
    at if at > 127 else ord(chr(at).lower()) if chr(at).isalnum() or chr(at) in "./" else 32
    for at in range(256)
)
# Before the piece of a code that begins at a place: which piece of which code it is.
_HEADS = [
    [f"{PIECE}{chr(97 + at // _PIECE)}{code}".encode() for at in range(_LONGEST)]
    for code in range(_MOST_CODES)
]
_word_of = itemgetter(0)
Add = Callable[[int], None]
Kept = tuple[str, int, bytes]


def words_of(text: str) -> list[str]:
    """The words of a text in small letters, each once, shortened where it is endless."""
    return list(dict.fromkeys([word[:_LONGEST] for word in _WORD.findall(text.casefold())]))


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
        # How a place is added for what stands between blanks: most of it is one word.
        self._adders: dict[bytes, Add] = {}
        self._several: dict[bytes, list[bytes]] = {}
        self._kinds: dict[str, Add] = {}
        self._first = 1
        self._next = 1

    @property
    def full(self) -> bool:
        """Whether what was gathered is to be taken before the next item is added."""
        return self._next - self._first >= SEGMENT or len(self._places) >= _MOST_WORDS

    def add(self, number: str, description: str, kind: str) -> None:
        """Take the next item into account; a word that stands twice in it may be added twice."""
        at = self._next - self._first
        self._next += 1
        if kind not in self._kinds:
            self._kinds[kind] = self._adder(KIND + kind)
        self._kinds[kind](at)
        text = f"{number} {description}"
        # Quicker than the pattern for words, which is left to what was not met before.
        texts = (text if text.isascii() else text.casefold()).encode(errors="replace")
        get, codes = self._adders.get, 0
        for between in texts.translate(_APART).split()[:_MOST_OF_ITEM]:
            add = get(between)
            if add is not None:
                add(at)
            else:
                codes = self._add_unmet(between, at, codes)

    def _add_unmet(self, between: bytes, at: int, codes: int) -> int:
        """Add what has no one word of its own; gives the number of codes so far."""
        if between.isalnum():  # The quick way of most item numbers; more signs are told as words.
            return self._add_word(between[:_LONGEST], between, at, codes)
        several = self._several.get(between)
        if several is None:
            several = [word.encode() for word in words_of(between.decode(errors="replace"))]
            if len(self._several) < _MOST_WORDS:
                self._several[between] = several
        for word in several:
            codes = self._add_word(word, between if len(several) == 1 else b"", at, codes)
        return codes

    def _add_word(self, word: bytes, alone: bytes, at: int, codes: int) -> int:
        """Add one word. alone: what stands between blanks where that is no more than the word."""
        text = word.decode()
        if len(word) < _CODE or codes >= _MOST_CODES or text.isalpha():
            adder = self._adder(text)
            if alone and len(self._adders) < 2 * _MOST_WORDS:
                self._adders[alone] = adder
            adder(at)
            return codes
        if not text.isascii():
            for piece in pieces_of(text):
                self._adder(f"{piece}{codes}")(at)
            return codes + 1
        adders, heads = self._adders, _HEADS[codes]
        for start in range(0, len(word), _PIECE):
            key = heads[start] + word[start : start + _PIECE]
            add = adders.get(key)
            if add is None:
                piece = word[start : start + _PIECE].decode()
                add = adders[key] = self._adder(f"{key[:2].decode()}{piece}{codes}")
            add(at)
        return codes + 1

    def _adder(self, key: str) -> Add:
        places = self._places.get(key)
        if places is None:
            places = self._places[key] = array("I")
        return places.append

    def take(self) -> Iterator[Kept]:
        """What was gathered, in the order of words: word, first place of the segment, places."""
        found, first = sorted(self._places.items(), key=_word_of), self._first
        self._places, self._adders, self._several, self._kinds = {}, {}, {}, {}
        self._first = self._next
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
