"""Laying cuts out on pieces: how much of them the pieces can serve, each cut whole."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

from estimator.catalogue.fillings import Counts, Steps, fillings

# The search goes as deep as there are cuts; a job has some dozens of them.
MOST_CUTS = 300
# Beyond this many bits a set of reachable lengths costs more than it saves.
MOST_BITS = 200_000


@dataclass(frozen=True, slots=True)
class LayOut:
    """served: sum of the cuts laid out, in their unit. proven: no lay-out serves more.

    steps: of the search, as taken.
    """

    served: int
    proven: bool
    steps: int


def reachable_length(cuts: Sequence[int], length: int, step: int) -> int:
    """The largest sum of some of the cuts that a piece of ``length`` holds.

    step: a common divisor of the cuts. Sums are the bits of one whole number.
    """
    most = length // step
    sums = 1
    window = (1 << (most + 1)) - 1
    for cut in cuts:
        sums |= (sums << (cut // step)) & window
    return (sums.bit_length() - 1) * step


def first_fit(cuts: Sequence[int], length: int) -> int:
    """Pieces of one length that hold all cuts, longest cut first into the first with room.

    cuts: longest first, none longer than ``length``. Good, not always least.
    """
    room: list[int] = []
    for cut in cuts:
        for place, left in enumerate(room):
            if left >= cut:
                room[place] = left - cut
                break
        else:
            room.append(length - cut)
    return len(room)


def lay_out(
    cuts: Sequence[int],
    pieces: Sequence[int],
    *,
    most: int,
    enough: int,
    whole: bool,
    budget: int,
) -> LayOut:
    """The most of the cuts that fit on the pieces.

    cuts: longest first. most: what the pieces can serve at best, as known beforehand.
    enough: the search may stop at this much, since more is worth no more. whole: less than
    ``enough`` is worth nothing. budget: steps that may be spent.
    Exact by depth-first search; proven is False when the budget was spent before that.
    """
    if whole and most < enough:
        return LayOut(0, True, 0)
    enough = min(enough, most)
    served = _best_fit(cuts, pieces)
    if served < enough:
        served = max(served, _fill_in_turn(cuts, sorted(pieces)))
    if served >= enough:
        return LayOut(served, True, 0)
    budget = budget if len(cuts) <= MOST_CUTS else 0
    search = _LayOutSearch(cuts, pieces, served, enough, whole, budget)
    counts = tuple(cuts.count(length) for length in search.lengths)
    search.run(0, counts, 0)
    proven = not search.steps.out or search.best >= enough
    return LayOut(search.best, proven, search.steps.taken)


def _best_fit(cuts: Sequence[int], pieces: Sequence[int]) -> int:
    room = list(pieces)
    served = 0
    for cut in cuts:
        fitting = [(left, place) for place, left in enumerate(room) if left >= cut]
        if fitting:
            _, place = min(fitting)
            room[place] -= cut
            served += cut
    return served


def _fill_in_turn(cuts: Sequence[int], pieces: Sequence[int]) -> int:
    """Fill each piece as far as it goes with what is left, longest cuts preferred."""
    step = gcd(*cuts)
    left = [cut // step for cut in reversed(cuts)]
    served = 0
    for piece in pieces:
        most = piece // step
        if most > MOST_BITS:
            return 0
        window = (1 << (most + 1)) - 1
        reached = [1]
        for cut in left:
            reached.append(reached[-1] | (reached[-1] << cut) & window)
        sums = reached[-1].bit_length() - 1
        served += sums
        for place in range(len(left) - 1, -1, -1):
            if sums >= left[place] and reached[place] >> (sums - left[place]) & 1:
                sums -= left.pop(place)
    return served * step


class _LayOutSearch:
    """Piece by piece, every way to fill it so that no cut left would still go on it.

    Cuts of one length are alike, so what is left is a count for each length; a state that
    was met before is not searched again.
    """

    def __init__(
        self,
        cuts: Sequence[int],
        pieces: Sequence[int],
        served: int,
        enough: int,
        whole: bool,
        budget: int,
    ) -> None:
        self.whole = whole
        self.lengths = sorted(set(cuts), reverse=True)
        self.pieces = sorted(pieces)
        self.best = served
        self.enough = enough
        self.steps = Steps(budget)
        self.seen: set[tuple[int, Counts]] = set()
        step = gcd(*cuts)
        reach = {
            piece: reachable_length(cuts, piece, step) if piece // step <= MOST_BITS else piece
            for piece in set(pieces)
        }
        self.still = [sum(reach[piece] for piece in self.pieces[i:]) for i in range(len(pieces))]
        self.still.append(0)

    def run(self, place: int, left: Counts, served: int) -> None:
        """Fill the pieces from ``place`` on with the cuts left. served: by those before."""
        self.best = max(self.best, served)
        if place == len(self.pieces) or (place, left) in self.seen:
            return
        self.seen.add((place, left))
        for filled, after in fillings(self.lengths, self.pieces[place], left, self.steps):
            if self.best >= self.enough or self.steps.out:
                return
            least = max(self.best + 1, self.enough if self.whole else 0)
            if served + filled + self.still[place + 1] >= least:
                self.run(place + 1, after, served + filled)
