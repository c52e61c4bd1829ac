"""Reaching the floor of one seller by buying more than is needed: all sums at once, as bits.

What that seller sells costs nothing here as long as it stays below the floor, so ways differ in
what is spent elsewhere, and in the sum sold that they lead to. For each sum spent elsewhere the
sums sold that can be reached are the bits of one whole number.
"""

from collections.abc import Sequence
from math import gcd

from estimator.catalogue.buying.fill import Filler, with_packs
from estimator.catalogue.buying.needs import WHOLE, Way

MOST_BITS = 8_000_000
# Bits moved in all.
BIT_BUDGET = 20_000_000_000

# Sums sold, as bits, by sum spent elsewhere.
Sums = dict[int, int]


class ReachFloor:
    """The floor of one seller. choices: ways of each part; bounds: least of each, weighted."""

    def __init__(
        self,
        seller: int,
        base: Sequence[int],
        floor: int,
        filler: Filler,
        choices: Sequence[Sequence[Way]],
        bounds: Sequence[int],
    ) -> None:
        self.seller = seller
        self.elsewhere = sum(base) - base[seller]
        self.sold = base[seller]
        self.floor = floor
        self.filler = filler
        self.choices = [
            {(way.total - way.money[seller], way.money[seller]): way for way in ways}
            for ways in choices
        ]
        self.least = [bound // WHOLE for bound in bounds]
        sold = {sells for ways in self.choices for _, sells in ways}
        self.complete = True
        self.step = gcd(self.sold, *sold, *filler.prices) or 1

    def run(self, below: int) -> tuple[Way, ...]:
        """The cheapest ways of less money than ``below``, () if none were found.

        complete: that is proven.
        """
        if (below - self.elsewhere) // self.step > MOST_BITS:
            self.complete = False
            return ()
        stages: list[Sums] = [{self.elsewhere: 1 << self.sold // self.step}]
        rest = sum(self.least)
        moved = 0
        for ways, least in zip(self.choices, self.least, strict=True):
            rest -= least
            moved += len(stages[-1]) * len(ways) * (below - self.elsewhere) // self.step
            if moved > BIT_BUDGET:
                self.complete = False
                return ()
            stages.append(self._with_part(stages[-1], ways, below - rest))
        best = self._best(stages[-1], below)
        return () if best is None else self._ways(stages, *best)

    def _with_part(self, sums: Sums, ways: dict[tuple[int, int], Way], below: int) -> Sums:
        after: Sums = {}
        for spent, bits in sums.items():
            for elsewhere, sells in ways:
                total = spent + elsewhere
                if total + self.floor < below:
                    after[total] = after.get(total, 0) | bits << sells // self.step
        for total in after:
            # Of more than that no basket would stay below.
            after[total] &= (1 << -(-(below - total) // self.step)) - 1
        return after

    def _best(self, sums: Sums, below: int) -> tuple[int, int] | None:
        """The sum spent elsewhere and the sum sold of the cheapest basket, before filling up."""
        best: tuple[int, int] | None = None
        prices = [price // self.step for price in self.filler.prices]
        floor = -(-self.floor // self.step)
        for spent, bits in sorted(sums.items()):
            if spent + self.floor >= below:
                break
            most = -(-(below - spent) // self.step)
            above = with_packs(bits, prices, most) >> floor
            if above:
                total = floor + (above & -above).bit_length() - 1
                if spent + total * self.step < below:
                    below = spent + total * self.step
                    best = (spent, self._unfilled(bits, prices, total))
        return best

    def _unfilled(self, bits: int, prices: Sequence[int], total: int) -> int:
        """The sum sold from which packs lead to a total; the floor needs no more than these."""
        reach = with_packs(1, prices, total)
        for less in range(total + 1):
            if reach >> less & 1 and bits >> (total - less) & 1:
                return total - less
        raise AssertionError("a sum that was reached is reached from some sum")

    def _ways(self, stages: Sequence[Sums], spent: int, sold: int) -> tuple[Way, ...]:
        found: list[Way] = []
        for sums, ways in zip(reversed(stages[:-1]), reversed(self.choices), strict=True):
            for (elsewhere, sells), way in ways.items():
                before = sold - sells // self.step
                if before >= 0 and sums.get(spent - elsewhere, 0) >> before & 1:
                    found.append(way)
                    spent, sold = spent - elsewhere, before
                    break
        return tuple(reversed(found))
