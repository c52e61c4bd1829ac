"""The cheapest purchase of goods by length when every cut must be one whole piece."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import repeat
from math import gcd

from estimator.catalogue.cover import cheapest_cover
from estimator.catalogue.lay_out import MOST_BITS, first_fit, lay_out, reachable_length
from estimator.catalogue.match import STEPS_PER_UNIT, Offer
from estimator.catalogue.packs import Choice, Worth

COMBINATION_BUDGET = 5_000
FIRST_BUDGET = 3_000
LAY_OUT_BUDGET = 30_000


def cheapest_pieces(cuts: Sequence[int], offers: Sequence[Offer]) -> Choice | None:
    """The pieces that hold all cuts at least money; ties: least left over, then fewest packs.

    cuts: in 1/10,000 ft, at least one, all above zero. offers: as ordered in an ItemIndex;
    quickest with those that are worth buying.
    What is sold by the foot comes as one piece of any whole number of feet; no saw kerf.
    None when a cut is longer than every piece on offer.
    Exact: combinations of packs in order of the least they can cost, until that reaches the
    best lay-out found; where that takes long, all cuts at once. optimal is False when the
    stated budgets of steps were spent before.
    """
    cuts = sorted(cuts, reverse=True)
    by_foot = next((offer for offer in offers if offer.by_foot), None)
    if by_foot is not None:
        feet = _feet(sum(cuts))
        # A pack that costs more than all cuts bought by the foot is of no use.
        if all(offer.price > feet * by_foot.price for offer in offers if not offer.by_foot):
            return Choice(((by_foot, feet),), True)
    longest = max(offer.length for offer in offers)
    if by_foot is None and longest < cuts[0]:
        return None
    return _CutSearch(cuts, offers, by_foot).run()


def _feet(length: int) -> int:
    return -(-length // STEPS_PER_UNIT)


@dataclass(slots=True)
class _Candidate:
    """An offer of pieces. usable: the most of one pack that the cuts can use.

    fitting: the sum of the cuts that are short enough. most: packs that can be of use.
    """

    offer: Offer
    usable: int
    fitting: int
    most: int


class _CutSearch:
    def __init__(self, cuts: Sequence[int], offers: Sequence[Offer], by_foot: Offer | None) -> None:
        self.cuts = cuts
        self.total = sum(cuts)
        self.by_foot = by_foot
        self.candidates = self._candidates(offers)
        self.by_length = sorted(
            range(len(self.candidates)), key=lambda place: self.candidates[place].offer.length
        )
        self.best: Worth | None = None
        self.best_counts: tuple[int, ...] = ()
        self.best_feet = 0
        self.nodes = 0
        self.budget = 0

    def run(self) -> Choice:
        """Start from simple purchases, then improve until no combination can be better."""
        self._start()
        proven = self._improve(FIRST_BUDGET)
        if not proven:
            # Cuts of few lengths are quicker to cover as a whole than piece by piece.
            cover = self._cover()
            if cover is not None:
                return cover
            proven = self._improve(LAY_OUT_BUDGET)
        return self._choice(self.best_counts, self.best_feet, proven)

    def _improve(self, budget: int) -> bool:
        """Try combinations from the least on; whether the best is then proven."""
        self.budget = budget
        self.nodes = 0
        unproven: list[Worth] = []
        for least, counts in sorted(self._combinations(0, self.total, (0, 0, 0), ())):
            if self.best is not None and least >= self.best:
                break
            if not self._try(counts):
                unproven.append(least)
        return self.nodes <= COMBINATION_BUDGET and not any(
            self.best is None or least < self.best for least in unproven
        )

    def _cover(self) -> Choice | None:
        if any(candidate.offer.pieces > 1 for candidate in self.candidates):
            return None
        offers = [candidate.offer for candidate in self.candidates]
        cover = cheapest_cover(self.cuts, offers, self.by_foot)
        return None if cover is None else self._choice(cover.counts, cover.feet, True)

    def _choice(self, counts: tuple[int, ...], feet: int, proven: bool) -> Choice:
        packs = [
            (candidate.offer, count)
            for candidate, count in zip(self.candidates, counts, strict=True)
            if count
        ]
        if self.by_foot is not None and feet:
            packs.append((self.by_foot, feet))
        return Choice(tuple(packs), proven)

    def _candidates(self, offers: Sequence[Offer]) -> list[_Candidate]:
        step = gcd(*self.cuts)
        found = []
        for offer in offers:
            if offer.by_foot or offer.length < self.cuts[-1]:
                continue
            usable = offer.length
            if usable // step <= MOST_BITS:
                usable = reachable_length(self.cuts, usable, step)
            short = [cut for cut in self.cuts if cut <= offer.length]
            usable = min(usable * offer.pieces, sum(short))
            # Whatever such a pack holds is cheaper by the foot.
            if self.by_foot is not None and offer.price > self.by_foot.price * _feet(usable):
                continue
            found.append(_Candidate(offer, usable, sum(short), -(-len(short) // offer.pieces)))
        return found

    def _start(self) -> None:
        none = (0,) * len(self.candidates)
        if self.by_foot is not None:
            self._keep(none, _feet(self.total))
        for place, candidate in enumerate(self.candidates):
            length = candidate.offer.length
            fitting = [cut for cut in self.cuts if cut <= length]
            rest = self.total - sum(fitting)
            if rest and self.by_foot is None:
                continue
            packs = -(-first_fit(fitting, length) // candidate.offer.pieces)
            self._keep((*none[:place], packs, *none[place + 1 :]), _feet(rest))

    def _combinations(
        self, place: int, left: int, worth: Worth, counts: tuple[int, ...]
    ) -> Iterator[tuple[Worth, tuple[int, ...]]]:
        """Counts of every candidate, with the least they can be worth, if below the best.

        left: length not yet covered even if every pack were used to the full.
        """
        self.nodes += 1
        if self.nodes > COMBINATION_BUDGET:
            return
        if place == len(self.candidates):
            feet = _feet(self.total - self._most_served(counts))
            if feet and self.by_foot is None:
                return
            least = self._with_feet(worth, feet)
            if self.best is None or least < self.best:
                yield least, counts
            return
        candidate = self.candidates[place]
        for count in range(candidate.most + 1):
            after = (
                worth[0] + count * candidate.offer.price,
                worth[1] + count * candidate.offer.size,
                worth[2] + count,
            )
            if self.best is not None and after[0] > self.best[0]:
                return
            rest = left - count * candidate.usable
            if self._least_money(place + 1, rest, after[0]) is not None:
                yield from self._combinations(place + 1, rest, after, (*counts, count))

    def _most_served(self, counts: tuple[int, ...]) -> int:
        """A bound on what packs can serve: short pieces serve none but short cuts."""
        served = 0
        for place in self.by_length:
            candidate = self.candidates[place]
            served = min(served + counts[place] * candidate.usable, candidate.fitting)
        return served

    def _least_money(self, place: int, left: int, money: int) -> int | None:
        """The least money that covers ``left`` with later candidates; None: more than the best."""
        if left <= 0:
            return money
        rates = [(c.offer.price, c.usable) for c in self.candidates[place:]]
        if self.by_foot is not None:
            rates.append((self.by_foot.price, STEPS_PER_UNIT))
        if not rates:
            return None
        least = money + min(-(-left * price // usable) for price, usable in rates)
        return None if self.best is not None and least > self.best[0] else least

    def _try(self, counts: tuple[int, ...]) -> bool:
        """Lay the cuts out on these packs and keep the result; False when not proven best."""
        pieces = [
            length
            for candidate, count in zip(self.candidates, counts, strict=True)
            for length in repeat(candidate.offer.length, count * candidate.offer.pieces)
        ]
        # More pieces than cuts are never used; the longest ones are the ones to keep.
        pieces = sorted(pieces, reverse=True)[: len(self.cuts)]
        most = self._most_served(counts)
        # Feet are bought whole, so serving more saves nothing unless it saves a whole foot.
        feet = _feet(self.total - most) if self.by_foot is not None else 0
        enough = max(self.total - feet * STEPS_PER_UNIT, 0)
        found = lay_out(
            self.cuts,
            pieces,
            most=most,
            enough=enough,
            whole=self.by_foot is None,
            budget=self.budget,
        )
        self.budget = max(self.budget - found.steps, 0)
        if self.by_foot is not None or found.served == self.total:
            self._keep(counts, _feet(self.total - found.served))
        return found.proven

    def _with_feet(self, worth: Worth, feet: int) -> Worth:
        if not feet or self.by_foot is None:
            return worth
        return (
            worth[0] + feet * self.by_foot.price,
            worth[1] + feet * STEPS_PER_UNIT,
            worth[2] + feet,
        )

    def _keep(self, counts: tuple[int, ...], feet: int) -> None:
        worth: Worth = (0, 0, 0)
        for candidate, count in zip(self.candidates, counts, strict=True):
            worth = (
                worth[0] + count * candidate.offer.price,
                worth[1] + count * candidate.offer.size,
                worth[2] + count,
            )
        worth = self._with_feet(worth, feet)
        if self.best is None or worth < self.best:
            self.best, self.best_counts, self.best_feet = worth, counts, feet
