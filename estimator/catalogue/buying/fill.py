"""Filling up to a floor with packs of anything, by the sums that packs can add up to."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

# Beyond this many bits a set of sums costs more than it saves.
MOST_BITS = 4_000_000

# Number of packs by position of their price.
Packs = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Filled:
    """money: what the packs cost together. proven: none cost less and still reach the floor."""

    money: int
    proven: bool


class Filler:
    """Sums of pack prices of one seller, as the bits of one whole number.

    prices: of a pack of each plain line and kit.
    """

    def __init__(self, prices: Sequence[int]) -> None:
        self.place_of: dict[int, int] = {}
        for place, price in enumerate(prices):
            self.place_of.setdefault(price, place)
        self.prices = sorted(self.place_of)
        self.step = gcd(*self.prices) if self.prices else 1
        self._sums = 1
        self._most = 0

    def least(self, missing: int) -> Filled | None:
        """The least money that makes up for what is missing; None: nothing is sold by the pack."""
        if missing <= 0:
            return Filled(0, proven=True)
        if not self.prices:
            return None
        wanted = -(-missing // self.step)
        smallest = self.prices[0] // self.step
        if wanted + smallest > MOST_BITS:
            return Filled(self._about(missing)[0], proven=False)
        self._reach(wanted + smallest)
        above = self._sums >> wanted
        return Filled((wanted + (above & -above).bit_length() - 1) * self.step, proven=True)

    def packs(self, missing: int) -> Packs:
        """The packs behind the least money for what is missing."""
        filled = self.least(missing)
        if filled is None or not filled.money:
            return ()
        if not filled.proven:
            return self._about(missing)[1]
        return self.packs_of(filled.money // self.step)

    def packs_of(self, total: int) -> Packs:
        """Packs that add up to a reachable sum, in steps of money."""
        packs: dict[int, int] = {}
        while total:
            for price in reversed(self.prices):
                rest = total - price // self.step
                if rest >= 0 and self._sums >> rest & 1:
                    break
            packs[self.place_of[price]] = packs.get(self.place_of[price], 0) + 1
            total = rest
        return tuple(packs.items())

    def _about(self, missing: int) -> tuple[int, Packs]:
        """The largest packs that do not exceed it, then the smallest one to reach it."""
        packs: dict[int, int] = {}
        left = missing
        for price in reversed(self.prices):
            count, left = divmod(left, price)
            if count:
                packs[self.place_of[price]] = count
        if left:
            least = self.prices[0]
            packs[self.place_of[least]] = packs.get(self.place_of[least], 0) + 1
            left -= least
        return missing - left, tuple(packs.items())

    def _reach(self, most: int) -> None:
        if most <= self._most:
            return
        self._most = min(2 * most, MOST_BITS)
        self._sums = with_packs(1, [price // self.step for price in self.prices], self._most)


def with_packs(sums: int, prices: Sequence[int], most: int) -> int:
    """The sums that any packs added to one of the sums come to, up to ``most``."""
    window = (1 << (most + 1)) - 1
    for price in prices:
        shift = price
        while shift <= most:
            sums |= (sums << shift) & window
            shift *= 2
    return sums
