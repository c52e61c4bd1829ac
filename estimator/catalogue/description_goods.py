"""Which words of a description name the goods, and which turn them into something else."""

from collections.abc import Sequence

from estimator.catalogue.description_marks import Mark
from estimator.catalogue.lexicon import Concepts, Frame, Meaning

_NO_PLACE = frozenset({"extra", "unit", "container"})
# How many of these there are tells what the goods are: a breaker has no spaces.
_COUNTED = frozenset({"circuit", "space", "terminal", "port"})
_SHORTEST_NAME = 3


def not_ours(marks: Sequence[Mark]) -> str:
    """Why the text names no part of ours whatever else it says; empty when it may."""
    others: list[str] = []
    why_not = ""
    for place, mark in enumerate(marks):
        roles = [meaning.role for meaning in mark.meanings]
        if "other" in roles:
            others.append(mark.text)
        elif "denial" in roles:
            why_not = f"{_stretch(marks, place, place + 2)} takes back what the rest may say"
        elif "extra" in roles and _joins(marks, place):
            why_not = f"{_stretch(marks, place - 1, place + 2)} joins unlike parts"
    if others:
        return f"{', '.join(others)} is not among the goods that we know"
    return why_not


def _stretch(marks: Sequence[Mark], start: int, end: int) -> str:
    return " ".join([mark.text for mark in marks[max(start, 0) : end]])


def _joins(marks: Sequence[Mark], place: int) -> bool:
    """Whether a word stands between two goods: "EMT TO FLEX", "EMT X FLEX"."""
    to = marks[place].tells("to")
    if not to and not marks[place].tells("between"):
        return False
    beside = [0 <= each < len(marks) and marks[each].goods for each in (place - 1, place + 1)]
    return any(beside) if to else all(beside)


def free_places(marks: Sequence[Mark]) -> frozenset[int]:
    """Places of the words that can name the goods.

    What follows FOR tells what they are for, and the first word after WITH what they bring:
    "CLIP FOR PULL BOX" is no box and "PANEL WITH BREAKERS" no breaker.
    """
    free: set[int] = set()
    brought = False
    for place, mark in enumerate(marks):
        if mark.tells("for"):
            break
        if mark.meanings and not brought:
            free.add(place)
        brought = mark.tells("with") or (brought and not mark.meanings)
    return frozenset(free)


class Told:
    """The concepts of a description that have a place in a frame, by the place of their mark.

    nouns: places of those that name goods. foreign: a word names goods that have no place in
    the frame, or counts what they do not have. all: the concepts and the figures.
    """

    def __init__(self, marks: Sequence[Mark], frame: Frame) -> None:
        self.by_mark: dict[int, Concepts] = {}
        self.nouns: set[int] = set()
        self.neutral: set[int] = set()
        self.foreign = False
        self.all: Concepts = frozenset()
        present: set[str] = set()
        units_before: Concepts = frozenset()
        for place, mark in enumerate(marks):
            if mark.figures:
                counted = _COUNTED.intersection([figure.sure_unit for figure in mark.figures])
                self.foreign = not counted <= frame.units
                present.update(mark.measures)
                units_before = frozenset([figure.unit for figure in mark.figures])
            elif mark.meanings:
                self.foreign = not self._place(place, mark, frame, units_before)
                present.update(self.by_mark.get(place, ()))
                units_before = frozenset()
            if self.foreign:
                return
        self.all = frozenset(present)

    def _place(self, place: int, mark: Mark, frame: Frame, units_before: Concepts) -> bool:
        """Whether the word has a place in the frame, or needs none."""
        fitting = _fitting(mark, frame)
        if len({meaning.concepts for meaning in fitting}) == 1:
            self.by_mark[place] = fitting[0].concepts
            if all(meaning.role == "noun" for meaning in fitting):
                self.nouns.add(place)
            return True
        roles = {meaning.role for meaning in mark.meanings}
        if "trait" in roles and not units_before & frame.units:
            # A word such as LB is a unit only after a figure that the kind can have.
            roles.discard("unit")
        if "noun" in roles and place - 1 in self.nouns:
            # The last of several names is the goods: "BREAKER BOX" is not a pack.
            roles.discard("container")
        if fitting:
            return True
        if roles & _NO_PLACE:
            self.neutral.add(place)
        return place in self.neutral or "trait" in roles

    def names(self, needs: Sequence[Concepts], free: frozenset[int]) -> bool:
        """Whether one of the needs rests on a word that can name the goods."""
        naming = {concept for place in free for concept in self.by_mark.get(place, ())}
        return any(need & naming for need in needs)

    def renamed(self, needs: Sequence[Concepts], marks: Sequence[Mark]) -> bool:
        """Whether a word without a place follows the name: "STAPLE xxx" is no staple."""
        return any(
            self._without_place(place + 1, marks[place + 1])
            for place in self.nouns
            if place + 1 < len(marks) and any(need & self.by_mark[place] for need in needs)
        )

    def _without_place(self, place: int, mark: Mark) -> bool:
        placed = mark.figures or place in self.by_mark or place in self.neutral
        return not placed and len(mark.text) >= _SHORTEST_NAME


def _fitting(mark: Mark, frame: Frame) -> list[Meaning]:
    fitting = [
        meaning
        for meaning in mark.meanings
        if meaning.role in ("noun", "trait") and meaning.concepts <= frame.accepted
    ]
    if len({meaning.concepts for meaning in fitting}) > 1:
        # What tells of the part goes before what may stand besides.
        return [meaning for meaning in fitting if not meaning.concepts <= frame.besides]
    return fitting
