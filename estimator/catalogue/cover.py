"""The cheapest cover of cuts that come in few lengths: one state for each count of cuts left."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.catalogue.fillings import Counts, Steps, fillings
from estimator.catalogue.lay_out import MOST_CUTS
from estimator.catalogue.match import STEPS_PER_UNIT, Offer
from estimator.catalogue.packs import Worth

STEP_BUDGET = 60_000
_BY_FOOT = -1


@dataclass(frozen=True, slots=True)
class Cover:
    """Pieces of each offer, and whole feet, that hold all cuts at least worth."""

    worth: Worth
    counts: tuple[int, ...]
    feet: int


def cheapest_cover(
    cuts: Sequence[int], offers: Sequence[Offer], by_foot: Offer | None
) -> Cover | None:
    """The best cover of all cuts; None when it needs more steps than the budget allows.

    cuts: longest first. offers: of single pieces; together with ``by_foot`` they hold the
    longest cut. The longest cut left must lie on some piece, which may as well be filled up,
    or be bought by the foot; so few choices stand at each state.
    """
    if len(cuts) > MOST_CUTS:
        return None
    search = _CoverSearch(cuts, offers, by_foot)
    start = (tuple(cuts.count(length) for length in search.lengths), 0)
    worth = search.least(*start)
    if worth is None or search.steps.out:
        return None
    return search.cover(worth, start)


State = tuple[Counts, int]


class _CoverSearch:
    """Remembers the least worth of each state: cuts left, and feet begun but not filled."""

    def __init__(self, cuts: Sequence[int], offers: Sequence[Offer], by_foot: Offer | None) -> None:
        self.lengths = sorted(set(cuts), reverse=True)
        self.offers = offers
        self.by_foot = by_foot
        self.steps = Steps(STEP_BUDGET)
        self.known: dict[State, tuple[Worth, int, int, State] | None] = {}

    def least(self, left: Counts, begun: int) -> Worth | None:
        """The least worth that covers the cuts left; None: out of steps, or not possible.

        begun: length used of the last whole foot bought, 0 when all of it is used.
        """
        longest = next((kind for kind, count in enumerate(left) if count), None)
        if longest is None:
            return (0, 0, 0)
        state = (left, begun)
        if state not in self.known:
            self.known[state] = self._best(left, begun, longest)
        known = self.known[state]
        return None if known is None else known[0]

    def cover(self, worth: Worth, state: State) -> Cover:
        """The choices behind the worth of a state that was searched."""
        counts = [0] * len(self.offers)
        feet = 0
        while any(state[0]):
            known = self.known[state]
            assert known is not None  # every state on the best way was searched
            _, offer, number, state = known
            if offer == _BY_FOOT:
                feet += number
            else:
                counts[offer] += number
        return Cover(worth, tuple(counts), feet)

    def _best(self, left: Counts, begun: int, longest: int) -> tuple[Worth, int, int, State] | None:
        best: tuple[Worth, int, int, State] | None = None
        cut = self.lengths[longest]
        without = (*left[:longest], left[longest] - 1, *left[longest + 1 :])
        for place, offer in enumerate(self.offers):
            if offer.length < cut:
                continue
            for _, after in fillings(self.lengths, offer.length - cut, without, self.steps):
                rest = self.least(after, begun)
                if self.steps.out:
                    return None
                if rest is not None:
                    worth = (rest[0] + offer.price, rest[1] + offer.size, rest[2] + 1)
                    if best is None or worth < best[0]:
                        best = (worth, place, 1, (after, begun))
        if self.by_foot is not None:
            used = (begun or STEPS_PER_UNIT) + cut
            feet = -(-used // STEPS_PER_UNIT) - 1
            state = (without, used % STEPS_PER_UNIT)
            rest = self.least(*state)
            if rest is not None:
                price, size = self.by_foot.price, self.by_foot.size
                worth = (rest[0] + feet * price, rest[1] + feet * size, rest[2] + feet)
                if best is None or worth < best[0]:
                    best = (worth, _BY_FOOT, feet, state)
        return best
