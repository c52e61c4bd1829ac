"""Ways to buy goods by length when every cut must be one whole piece."""

from collections.abc import Iterator, Sequence

from estimator.catalogue.buying.line_prices import (
    cheapest_count,
    counts_from,
    lowest_rate,
    price_of,
)
from estimator.catalogue.buying.needs import Line
from estimator.catalogue.fillings import Counts, Steps, fillings
from estimator.catalogue.match import STEPS_PER_UNIT, Offer

Packs = tuple[int, ...]
# Pieces begun of each line; for what is sold by the foot the length taken of it.
Taken = tuple[int, ...]
_ANY = 1 << 200


class CutWays:
    """The longest cut left lies on a new piece, filled up, or on what is sold by the foot.

    lines: with their weights, by which their prices count. enough: money at which a line by
    itself reaches every floor.
    """

    def __init__(
        self,
        cuts: Sequence[int],
        lines: Sequence[Line],
        weights: Sequence[int],
        enough: int,
        steps: Steps,
    ) -> None:
        self.lengths = sorted(set(cuts), reverse=True)
        self.start: Counts = tuple(list(cuts).count(length) for length in self.lengths)
        self.offers = [line.offer for line in lines]
        self.weights = weights
        rates = [lowest_rate(offer) for offer in self.offers]
        self.rate = min(map(int.__mul__, weights, rates), default=0)
        self.full_rate = min(rates, default=0)
        self.enough = enough
        self.steps = steps
        # Without its quantity breaks a line may look dearer than it is; never the other way.
        self.lowest = [lowest_rate(offer) * offer.size for offer in self.offers]

    def least(self, at_hand: Sequence[int], limit: int) -> tuple[Packs, tuple[int, ...]] | None:
        """The way of least weighted money, size and packs; with what is used of the at hand."""
        best: tuple[tuple[int, int, int], Packs, tuple[int, ...]] | None = None
        bound = [limit]
        for taken, used in self._all(at_hand, bound, _ANY):
            packs = tuple(
                cheapest_count(offer, least)[0] if least else 0
                for offer, least in zip(self.offers, self._packs_of(taken), strict=True)
            )
            worth = self._worth(packs)
            if worth[0] <= bound[0] and (best is None or worth < best[0]):
                best = (worth, packs, used)
                bound[0] = worth[0]
        return None if best is None else best[1:]

    def every(
        self, at_hand: Sequence[int], limit: int, most: int
    ) -> Iterator[tuple[Packs, tuple[int, ...]]]:
        """Every way that may be part of a best whole.

        limit: of weighted money. most: of money. Lines that are not plain come in every count
        that a floor could ask for.
        """
        met: set[Packs] = set()
        for taken, used in self._all(at_hand, [limit], most):
            least = self._packs_of(taken)
            if least in met:
                continue
            met.add(least)
            for packs in self._raised(0, least, limit, most, ()):
                yield packs, used

    def _raised(
        self, place: int, least: Packs, limit: int, most: int, packs: Packs
    ) -> Iterator[Packs]:
        """The least packs, or more of those lines that are not plain."""
        self.steps.taken += 1
        if self.steps.out:
            return
        if place == len(least):
            yield packs
            return
        offer, weight = self.offers[place], self.weights[place]
        counts = [least[place]] if offer.plain else self._any_count(offer, least[place], most)
        for count in counts:
            money = price_of(offer, count)
            if money <= most and weight * money <= limit:
                yield from self._raised(
                    place + 1, least, limit - weight * money, most - money, (*packs, count)
                )

    def _any_count(self, offer: Offer, packs: int, most: int) -> Iterator[int]:
        if not packs:
            yield 0
        last = offer.levels[-1][0] if offer.levels else 0
        for count in counts_from(offer, max(packs, 1)):
            money = price_of(offer, count)
            if count >= last and money > most:
                return
            yield count
            if count >= last and money >= self.enough:
                return

    def _worth(self, packs: Packs) -> tuple[int, int, int]:
        money = [
            weight * price_of(offer, count)
            for weight, offer, count in zip(self.weights, self.offers, packs, strict=True)
        ]
        sizes = map(int.__mul__, packs, [offer.size for offer in self.offers])
        return sum(money), sum(sizes), sum(packs)

    def _packs_of(self, taken: Taken) -> Packs:
        return tuple(
            -(-amount // (STEPS_PER_UNIT if offer.by_foot else offer.pieces))
            for offer, amount in zip(self.offers, taken, strict=True)
        )

    def _all(
        self, at_hand: Sequence[int], bound: list[int], most: int
    ) -> Iterator[tuple[Taken, tuple[int, ...]]]:
        none = (0,) * len(self.offers)
        states: dict[Counts, tuple[int, ...]] = {self.start: ()}
        for piece in at_hand:
            after: dict[Counts, tuple[int, ...]] = {}
            for left, used in states.items():
                for filled, rest in fillings(self.lengths, piece, left, self.steps):
                    after.setdefault(rest, (*used, filled))
            states = after
        for left, used in states.items():
            met: set[tuple[Counts, Taken]] = set()
            for taken in self._search(left, none, bound, most, met):
                yield taken, used

    def _search(
        self,
        left: Counts,
        taken: Taken,
        bound: list[int],
        most: int,
        met: set[tuple[Counts, Taken]],
    ) -> Iterator[Taken]:
        self.steps.taken += 1
        if self.steps.out or (left, taken) in met:
            return
        met.add((left, taken))
        longest = next((kind for kind, count in enumerate(left) if count), None)
        weighted, money = self._lower_bounds(left, taken)
        if weighted > bound[0] or money > most:
            return
        if longest is None:
            yield taken
            return
        cut = self.lengths[longest]
        without = (*left[:longest], left[longest] - 1, *left[longest + 1 :])
        for place, offer in enumerate(self.offers):
            if offer.by_foot:
                yield from self._search(without, _more(taken, place, cut), bound, most, met)
            elif offer.length >= cut:
                more = _more(taken, place, 1)
                for _, after in fillings(self.lengths, offer.length - cut, without, self.steps):
                    yield from self._search(after, more, bound, most, met)

    def _lower_bounds(self, left: Counts, taken: Taken) -> tuple[int, int]:
        """Money, weighted and not, of the packs begun and of the length that still has to come.

        Pieces of these packs that are not begun, and whole feet not used up, come first.
        """
        weighted = money = 0
        open_length = sum(map(int.__mul__, left, self.lengths))
        for place, (offer, packs) in enumerate(
            zip(self.offers, self._packs_of(taken), strict=True)
        ):
            if packs:
                spent = packs * self.lowest[place]
                money += spent
                weighted += self.weights[place] * spent
                if offer.by_foot:
                    open_length -= packs * STEPS_PER_UNIT - taken[place]
                else:
                    open_length -= (packs * offer.pieces - taken[place]) * offer.length
        if open_length > 0:
            weighted += open_length * self.rate
            money += open_length * self.full_rate
        return weighted, money


def _more(taken: Taken, place: int, amount: int) -> Taken:
    return (*taken[:place], taken[place] + amount, *taken[place + 1 :])
