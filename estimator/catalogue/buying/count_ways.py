"""Ways to buy goods that may come in any packs: pieces, and length without cuts."""

from collections.abc import Iterator, Sequence

from estimator.catalogue.buying.line_prices import (
    cheapest_count,
    counts_from,
    lowest_rate,
    price_of,
)
from estimator.catalogue.buying.needs import Line
from estimator.catalogue.fillings import Steps

Packs = tuple[int, ...]
# Money, quantity, packs.
Worth = tuple[int, int, int]
# More packs than any line has.
MOST = 10**9


class CountWays:
    """Depth-first search over the packs of each line, cheapest quantity first.

    lines: with their weights, by which their prices count. enough: money at which a line by
    itself reaches every floor, so that more packs of it serve nothing.
    """

    def __init__(
        self, lines: Sequence[Line], weights: Sequence[int], enough: int, steps: Steps
    ) -> None:
        lowest = [lowest_rate(line.offer) for line in lines]
        rates = list(map(int.__mul__, weights, lowest))
        self.order = sorted(range(len(lines)), key=lambda place: rates[place])
        self.offers = [lines[place].offer for place in self.order]
        self.weights = [weights[place] for place in self.order]
        self.rates = [rates[place] for place in self.order]
        # The lowest price of a step of any line from here on, not weighted.
        in_order = [lowest[place] for place in self.order]
        self.full_rates = [min(in_order[place:]) for place in range(len(in_order))]
        self.enough = enough
        self.steps = steps

    def least(self, need: int, limit: int) -> Packs | None:
        """The way of least weighted money, then least size, then fewest packs, within a limit."""
        best: Packs | None = None
        bound = [(limit, need + max(offer.size for offer in self.offers) * MOST, MOST)]
        for packs, worth in self._search(0, need, (0, 0, 0), (), bound):
            best, bound[0] = packs, worth
        return None if best is None else self._in_place(best)

    def _search(
        self, place: int, left: int, spent: Worth, packs: Packs, bound: list[Worth]
    ) -> Iterator[tuple[Packs, Worth]]:
        self.steps.taken += 1
        if self.steps.out:
            return
        if place == len(self.offers):
            if left <= 0:
                yield packs, spent
            return
        offer, weight = self.offers[place], self.weights[place]
        for count in self._counts(place, left):
            worth = (
                spent[0] + weight * price_of(offer, count),
                spent[1] + count * offer.size,
                spent[2] + count,
            )
            rest = left - count * offer.size
            if self._may_be_best(place + 1, rest, worth, bound[0]):
                yield from self._search(place + 1, rest, worth, (*packs, count), bound)

    def _counts(self, place: int, left: int) -> Iterator[int]:
        offer = self.offers[place]
        cover = -(-left // offer.size) if left > 0 else 0
        if offer.plain:
            yield from range(cover, -1, -1)
            return
        counts = {cheapest_count(offer, packs)[0] for packs in range(1, cover + 1)}
        yield from sorted(counts, reverse=True)
        yield 0

    def _may_be_best(self, place: int, left: int, worth: Worth, bound: Worth) -> bool:
        if left <= 0:
            return worth < bound
        if place == len(self.offers):
            return False
        return (worth[0] + left * self.rates[place], worth[1] + left, worth[2] + 1) < bound

    def every(self, need: int, limit: int, most: int) -> Iterator[Packs]:
        """Every way that a pack less of some plain line would not make too small.

        limit: of weighted money. most: of money. Lines that are not plain come in every count
        that a floor could ask for.
        """
        for packs in self._all(0, need, limit, most, ()):
            if not self._one_less_would_do(need, packs):
                yield self._in_place(packs)

    def _all(self, place: int, left: int, limit: int, most: int, packs: Packs) -> Iterator[Packs]:
        self.steps.taken += 1
        if self.steps.out:
            return
        if place == len(self.offers):
            if left <= 0:
                yield packs
            return
        if left > 0 and (left * self.rates[place] > limit or left * self.full_rates[place] > most):
            return
        offer, weight = self.offers[place], self.weights[place]
        cover = -(-left // offer.size) if left > 0 else 0
        for count in range(cover, -1, -1) if offer.plain else self._any_count(place, cover, most):
            money = price_of(offer, count)
            if money <= most and weight * money <= limit:
                rest = left - count * offer.size
                yield from self._all(
                    place + 1, rest, limit - weight * money, most - money, (*packs, count)
                )

    def _any_count(self, place: int, cover: int, most: int) -> Iterator[int]:
        """None, and counts until the line covers all and could reach every floor."""
        offer = self.offers[place]
        last = max(cover, offer.levels[-1][0] if offer.levels else 0)
        yield 0
        for count in counts_from(offer, 1):
            money = price_of(offer, count)
            if count >= last and money > most:
                return
            yield count
            if count >= last and money >= self.enough:
                return

    def _one_less_would_do(self, need: int, packs: Packs) -> bool:
        spare = sum(map(int.__mul__, packs, [offer.size for offer in self.offers])) - need
        return any(
            count and offer.plain and offer.size <= spare
            for count, offer in zip(packs, self.offers, strict=True)
        )

    def _in_place(self, packs: Packs) -> Packs:
        found = [0] * len(packs)
        for place, count in zip(self.order, packs, strict=True):
            found[place] = count
        return tuple(found)
