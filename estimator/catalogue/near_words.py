"""Spelling mistakes: the one known word that a word is a single slip away from."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping

SHORTEST = 5


class NearWords:
    """The known words, ready to be asked for a word's only neighbour.

    A slip is one letter too many, missing, wrong, or two neighbours that changed places.
    Words shorter than SHORTEST letters are never taken for another.
    """

    def __init__(self, words: Collection[str], uses: Mapping[str, frozenset[object]]) -> None:
        """uses: what each word is used for; spellings of one thing share them."""
        self._words = frozenset(words)
        self._uses = uses
        shortened: dict[str, set[str]] = defaultdict(set)
        for word in words:
            if len(word) >= SHORTEST:
                for short in _one_less(word):
                    shortened[short].add(word)
        self._shortened = shortened

    def __contains__(self, word: str) -> bool:
        return word in self._words

    def nearest(self, word: str) -> tuple[str, ...]:
        """The known words one slip away, those of one meaning named once; empty if none is."""
        if len(word) < SHORTEST:
            return ()
        found = set(self._shortened.get(word, ()))
        for short in _one_less(word):
            if short in self._words and len(short) >= SHORTEST:
                found.add(short)
            found.update(
                known for known in self._shortened.get(short, ()) if _one_slip(word, known)
            )
        # An abbreviation of the same word is no other word.
        uses = {known: self._uses.get(known, frozenset({known})) for known in sorted(found)}
        by_use = {
            use: known
            for known, use in uses.items()
            if not any(use < other for other in uses.values())
        }
        return tuple(sorted(by_use.values()))


def _one_less(word: str) -> Iterator[str]:
    return (word[:place] + word[place + 1 :] for place in range(len(word)))


def _one_slip(one: str, other: str) -> bool:
    """Whether two words of one length differ in one letter, or in two that changed places."""
    if len(one) != len(other):
        return False
    places = [
        place for place, pair in enumerate(zip(one, other, strict=True)) if pair[0] != pair[1]
    ]
    if len(places) == 1:
        return True
    if len(places) != 2 or places[1] != places[0] + 1:
        return False
    first, second = places
    return one[first] == other[second] and one[second] == other[first]
