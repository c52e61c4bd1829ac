"""Part by part, every way that can still be in a better whole, kept by what it sells."""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from estimator.catalogue.buying.needs import WHOLE, Way
from estimator.catalogue.fillings import Steps

# Labels that are kept after each part, and ways tried on them; beyond that the least promising
# are left out, and nothing is proven.
MOST_LABELS = 1_500
MOST_STEPS = 80_000
_LOOKED_AT = 50


class Given(Protocol):
    """What the parts are bought for: money spent already, floors, and filling up to them."""

    base: tuple[int, ...]
    floors: tuple[int, ...]

    def money_of(self, ways: Sequence[Way], sellers: Iterable[int]) -> tuple[int, bool] | None:
        """Money in all, filled up, and whether that is proven the least."""


@dataclass(frozen=True, slots=True)
class _Label:
    """Parts so far. sold: by short seller, no more than its floor. money: in all.

    slack: weighted money above the least of these parts, and above the floors.
    """

    sold: tuple[int, ...]
    money: int
    slack: int
    way: Way | None
    before: "_Label | None"


@dataclass(frozen=True, slots=True)
class _Also:
    """A bound by other shares taken off. rest: of the parts from a position on, and the floors."""

    shares: list[int]
    rest: list[int]

    def rules_out(self, label: _Label, parts: int, below: int) -> bool:
        """Whether nothing that starts with these parts can be below a sum of weighted money."""
        sold = sum(map(int.__mul__, self.shares, label.sold))
        return label.money * WHOLE - sold + self.rest[parts] >= below


class MergeLabels:
    """The floors of some sellers only.

    choices: ways of each part; bounds: least of each, weighted. steps: of all searches of a plan.
    """

    def __init__(
        self,
        given: Given,
        weights: Sequence[int],
        short: Sequence[int],
        choices: Sequence[Sequence[Way]],
        bounds: Sequence[int],
        steps: Steps,
    ) -> None:
        self.given = given
        self.steps = steps
        self.short = short
        self.shares = [WHOLE - weights[s] for s in short]
        self.floors = [given.floors[s] for s in short]
        self.complete = True
        self.order = sorted(range(len(choices)), key=lambda place: len(choices[place]))
        self.choices = [choices[place] for place in self.order]
        self.bounds = [bounds[place] for place in self.order]
        self._also: list[_Also] = []

    def also_bounded_by(self, others: Sequence[tuple[Sequence[int], Sequence[int]]]) -> None:
        """Other weights, with the least of each part at them: what they rule out is left out."""
        for weights, bounds in others:
            shares = [WHOLE - weights[s] for s in self.short]
            floors = sum(map(int.__mul__, shares, self.floors))
            rest = [floors]
            for place in reversed(self.order):
                rest.append(rest[-1] + bounds[place])
            self._also.append(_Also(shares, rest[::-1]))

    def run(self, below: int) -> tuple[Way, ...]:
        """The cheapest ways of less money than ``below``, () if none were found.

        complete: that is proven.
        """
        sold = [self.given.base[s] for s in self.short]
        money = sum(self.given.base)
        capped = tuple(map(min, sold, self.floors))
        above = money * WHOLE - sum(map(int.__mul__, self.shares, capped))
        labels = [_Label(capped, money, above, None, None)]
        room = below * WHOLE - sum(self.bounds) - sum(map(int.__mul__, self.shares, self.floors))
        for parts, (ways, bound) in enumerate(zip(self.choices, self.bounds, strict=True), start=1):
            extended = self._extended(labels, ways, bound, room)
            labels = [
                label
                for label in extended
                if not any(also.rules_out(label, parts, below * WHOLE) for also in self._also)
            ]
            if len(labels) > MOST_LABELS:
                self.complete = False
                labels = labels[:MOST_LABELS]
        return self._best(labels, below)

    def _extended(
        self, labels: Sequence[_Label], ways: Sequence[Way], bound: int, room: int
    ) -> list[_Label]:
        """Each label with each way of so little slack that both have room, least slack first."""
        after: dict[tuple[int, ...], _Label] = {}
        steps = 0
        for slack, sells, way in self._by_slack(ways, bound):
            if steps > MOST_STEPS or self.steps.out:
                self.complete = False
                break
            for label in labels:
                above = label.slack + slack
                if above >= room:
                    break
                steps += 1
                sold = label.sold
                if any(sells):
                    more = tuple(map(int.__add__, sold, sells))
                    sold = tuple(map(min, more, self.floors))
                    if sold != more:
                        over = map(int.__sub__, more, sold)
                        above += sum(map(int.__mul__, self.shares, over))
                        if above >= room:
                            continue
                money = label.money + way.total
                kept = after.get(sold)
                if kept is None or money < kept.money:
                    after[sold] = _Label(sold, money, above, way, label)
        self.steps.taken += steps
        kept_labels = self._without_dominated(list(after.values()))
        return sorted(kept_labels, key=lambda label: label.slack)

    def _by_slack(self, ways: Sequence[Way], bound: int) -> list[tuple[int, tuple[int, ...], Way]]:
        found = []
        for way in ways:
            sells = tuple([way.money[s] for s in self.short])
            weighted = way.total * WHOLE - sum(map(int.__mul__, self.shares, sells))
            found.append((weighted - bound, sells, way))
        return sorted(found, key=lambda each: each[:2])

    def _without_dominated(self, labels: list[_Label]) -> list[_Label]:
        """Less those for which another sells no less, to each short seller, for no more money."""
        labels.sort(key=lambda label: (label.money, [-sold for sold in label.sold]))
        if len(self.short) == 1:
            return _rising(labels)
        if len(self.short) == 2:
            return _outside_stairs(labels)
        kept: list[_Label] = []
        for label in labels:
            if not any(
                all(map(int.__ge__, other.sold, label.sold)) for other in kept[-_LOOKED_AT:]
            ):
                kept.append(label)
        return kept

    def _best(self, labels: Sequence[_Label], below: int) -> tuple[Way, ...]:
        best: tuple[Way, ...] = ()
        for label in sorted(labels, key=self._at_least):
            if self._at_least(label) >= below:
                break
            ways = self._ways(label)
            found = self.given.money_of(ways, self.short)
            if found is not None and not found[1]:
                self.complete = False
            if found is not None and found[0] < below:
                below, best = found[0], ways
        return best

    def _at_least(self, label: _Label) -> int:
        return label.money + sum(self.floors) - sum(label.sold)

    def _ways(self, label: _Label) -> tuple[Way, ...]:
        ways: dict[int, Way] = {}
        at: _Label | None = label
        for place in reversed(self.order):
            assert at is not None and at.way is not None  # one label for each part
            ways[place] = at.way
            at = at.before
        return tuple(ways[place] for place in sorted(ways))


def _rising(labels: Sequence[_Label]) -> list[_Label]:
    """Labels in order of money that sell more than all before them."""
    kept: list[_Label] = []
    for label in labels:
        if not kept or label.sold > kept[-1].sold:
            kept.append(label)
    return kept


def _outside_stairs(labels: Sequence[_Label]) -> list[_Label]:
    """Labels in order of money that no earlier one sells as much as, to both sellers.

    The largest pairs sold so far are stairs: more of the one, less of the other.
    """
    kept: list[_Label] = []
    first: list[int] = []
    second: list[int] = []
    for label in labels:
        one, other = label.sold
        at = bisect_left(first, one)
        if at < len(first) and second[at] >= other:
            continue
        kept.append(label)
        below = at
        while below and second[below - 1] <= other:
            below -= 1
        # One that sells as much of the first but less of the second is replaced too.
        end = at + (at < len(first) and first[at] == one)
        first[below:end] = [one]
        second[below:end] = [other]
    return kept
