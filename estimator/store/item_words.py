"""The words of items, told apart here so that the text search of each database finds the same.

Before each word stands its list: only the words of the lists that are asked for are read.
"""

import re
from collections.abc import Iterable, Sequence

_MOST_OF_ITEM = 60
_LONGEST = 40
_LONGEST_KIND = 400
# Fractions and figures stay whole ("3/4", "12/2", "0.5"); any other sign parts words.
_WORD = re.compile(r"[0-9]{1,4}(?:[./][0-9]{1,4}(?![0-9]))+|[^\W_]+")
_KIND = "="
# How an item is numbered in the index of SQLite: organisation, item set and place in one, in
# the order of lists and places. The trigger of the migration has these numbers too.
PLACE_BITS, SET_BITS, _ORGANISATION_BITS = 24, 19, 20


def words_of(text: str) -> list[str]:
    """The words of a text in small letters, each once, shortened where it is endless."""
    return list(dict.fromkeys([word[:_LONGEST] for word in _WORD.findall(text.casefold())]))


def words_of_item(number: str, description: str, kind: str) -> list[str]:
    """What an item is found by; of endless descriptions the beginning."""
    return [*words_of(f"{number} {description}")[:_MOST_OF_ITEM], _kind_word(kind)]


def _kind_word(kind: str) -> str:
    """A kind as one word that no text has: of letters and figures, whatever is in it."""
    return f"{_KIND}{kind.encode(errors='replace').hex()[:_LONGEST_KIND]}"


def kept_words(organisation: int, item_set: int, words: Iterable[str], *, sqlite: bool) -> str:
    """Words as the text index of SQLite takes them, or as a tsvector of PostgreSQL."""
    head = _head(organisation, item_set)
    if sqlite:
        return " ".join([head + word for word in words])
    return " ".join([f"'{head}{word}'" for word in words])


def asked_words(
    organisation: int, item_sets: Iterable[int], words: Sequence[str], kind: str, *, sqlite: bool
) -> str:
    """What asks the index for items with words that begin so, of a kind unless it is empty."""
    quote, begins, both, either = ('"', "*", " AND ", " OR ") if sqlite else ("'", ":*", "&", "|")
    asked = [(word, begins) for word in words] + ([(_kind_word(kind), "")] if kind else [])
    heads = [_head(organisation, each) for each in item_sets]
    return either.join(
        f"({both.join(f'{quote}{head}{word}{quote}{how}' for word, how in asked)})"
        for head in heads
    )


def row_number(organisation: int, item_set: int, place: int) -> int:
    """The number of an item in the index of SQLite. Raises ValueError beyond what it holds."""
    parts = ((organisation, _ORGANISATION_BITS), (item_set, SET_BITS), (place, PLACE_BITS))
    number = 0
    for part, bits in parts:
        if part >> bits:
            raise ValueError(f"{part} is more than the text index can number, {2**bits - 1}")
        number = number << bits | part
    return number


def _head(organisation: int, item_set: int) -> str:
    return f"{organisation}.{item_set}:"
