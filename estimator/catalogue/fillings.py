"""Every way to fill one piece with cuts so that no cut left would still go on it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

Counts = tuple[int, ...]


@dataclass(slots=True)
class Steps:
    """Steps of a search, and how many it may take. A search that is out of steps just ends."""

    budget: int
    taken: int = 0

    @property
    def out(self) -> bool:
        """Whether the budget is spent."""
        return self.taken > self.budget


def fillings(
    lengths: Sequence[int], room: int, left: Counts, steps: Steps
) -> Iterator[tuple[int, Counts]]:
    """The length filled, and the counts left after it; most of the longest cuts first.

    lengths: of the cuts, longest first, each once. left: how many of each there are.
    Ends early when ``steps`` runs out.
    """
    return _from(0, lengths, room, left, (), steps)


def _from(
    kind: int, lengths: Sequence[int], room: int, left: Counts, after: Counts, steps: Steps
) -> Iterator[tuple[int, Counts]]:
    steps.taken += 1
    if steps.out:
        return
    if kind == len(left):
        yield 0, after
        return
    length, most = lengths[kind], left[kind]
    shorter = sum(map(int.__mul__, lengths[kind + 1 :], left[kind + 1 :]))
    for count in range(min(most, room // length), -1, -1):
        rest_room = room - count * length
        # A cut left out must not fit in the end, so shorter ones must take up its room.
        if count < most and rest_room - shorter >= length:
            return
        for filled, rest in _from(
            kind + 1, lengths, rest_room, left, (*after, most - count), steps
        ):
            if count == most or rest_room - filled < length:
                yield filled + count * length, rest
