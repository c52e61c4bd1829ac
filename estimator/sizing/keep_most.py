"""The most loads of each tier that a supply keeps on, the first tier above all others.

A tier's loads on the same side differ only in their watts, so of those kept there the lightest
are kept: it is enough to try how many of each side. What starts hardest decides how much is
left to run; each such step is tried, the most promising first.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal, NamedTuple

Side = Literal["first", "second", "both"]
SIDES: tuple[Side, ...] = ("first", "second", "both")
MOST_STATES = 400
TRIES_FOR_ROOM = 32


class Load(NamedTuple):
    """One load in whole units of power. place: its number. step: what starting adds."""

    place: int
    running: int
    step: int
    side: Side


class Used(NamedTuple):
    """What is taken already: in all, the largest step, and on each leg."""

    total: int
    step: int
    first: int
    second: int


class Room(NamedTuple):
    """What the supply gives. leg: most on one leg, None without a limit."""

    continuous: int
    surge: int
    leg: int | None

    def holds(self, used: Used) -> bool:
        """Whether the supply carries it."""
        return (
            used.total <= self.continuous
            and used.total + used.step <= self.surge
            and (self.leg is None or max(used.first, used.second) <= self.leg)
        )


@dataclass(frozen=True, slots=True)
class Kept:
    """Places of the loads that stay on. proven: no choice keeps more."""

    places: frozenset[int]
    proven: bool


class _State(NamedTuple):
    """Sums of what is kept so far, and how many of each side of each tier that is."""

    first: int
    second: int
    picks: tuple[tuple[int, int, int], ...]


class _Tier:
    """The loads of one tier that start no harder than a given step, lightest first."""

    def __init__(self, loads: Iterable[Load]) -> None:
        by_side: dict[Side, list[Load]] = {side: [] for side in SIDES}
        for load in loads:
            by_side[load.side].append(load)
        self.loads = [by_side[side] for side in SIDES]
        self.sums = [
            list(accumulate((load.running for load in loads), initial=0)) for loads in self.loads
        ]

    def places(self, pick: tuple[int, int, int]) -> Iterable[int]:
        """Places of the lightest so many of each side."""
        for loads, count in zip(self.loads, pick, strict=True):
            yield from (load.place for load in loads[:count])


def keep_most(tiers: Sequence[Sequence[Load]], always: Used, room: Room) -> Kept:
    """What stays on: as many of the first tier as can be, then of the next, and so on.

    Among equals the choice that takes the least in all. ``always`` has to fit by itself.
    """
    ordered = [sorted(tier, key=lambda load: (load.running, load.place)) for tier in tiers]
    best: tuple[int, ...] | None = None
    best_total = 0
    best_places: frozenset[int] = frozenset()
    proven = True
    for tries, (bound, step) in enumerate(_promising(ordered, always, room)):
        if best is not None and (bound < best or (bound == best and tries > TRIES_FOR_ROOM)):
            break
        sieved = [_Tier(load for load in tier if load.step <= step) for tier in ordered]
        limit = min(room.continuous, room.surge - step) - always.total
        counts, state, complete = _fill(sieved, always, room.leg, limit)
        proven = proven and complete
        total = state.first + state.second
        if best is None or counts > best or (counts == best and total < best_total):
            best, best_total = counts, total
            best_places = frozenset(
                place
                for tier, pick in zip(sieved, state.picks, strict=True)
                for place in tier.places(pick)
            )
    return Kept(best_places, proven)


def _promising(
    tiers: Sequence[Sequence[Load]], always: Used, room: Room
) -> list[tuple[tuple[int, ...], int]]:
    """Each step worth trying with what one leg without limit could keep, best first.

    A smaller step than the spare of surge over continuous rating forbids loads for nothing.
    """
    spare = max(always.step, room.surge - room.continuous)
    steps = {load.step for tier in tiers for load in tier if load.step > spare}
    worth_trying = [spare, *(step for step in steps if room.surge - step >= always.total)]
    bounds = []
    for step in worth_trying:
        left = min(room.continuous, room.surge - step) - always.total
        bounds.append((_bound(tiers, step, left), step))
    return sorted(bounds, key=lambda pair: (pair[0], -pair[1]), reverse=True)


def _bound(tiers: Sequence[Sequence[Load]], step: int, left: int) -> tuple[int, ...]:
    counts = []
    for tier in tiers:
        count = 0
        for load in tier:
            if load.step > step:
                continue
            if load.running > left:
                break
            left -= load.running
            count += 1
        counts.append(count)
    return tuple(counts)


def _fill(
    tiers: Sequence[_Tier], always: Used, leg: int | None, limit: int
) -> tuple[tuple[int, ...], _State, bool]:
    """Tier by tier, every way to keep the most of it that takes not more on both legs."""
    states = [_State(0, 0, ())]
    counts = []
    complete = True
    most_first = limit if leg is None else min(limit, leg - always.first)
    most_second = limit if leg is None else min(limit, leg - always.second)
    for tier in tiers:
        most = -1
        grown: list[_State] = []
        for state in states:
            for picked in _picks(tier, state, most_first, most_second, limit):
                count = sum(picked.picks[-1])
                if count > most:
                    most, grown = count, []
                if count == most:
                    grown.append(picked)
        counts.append(most)
        states = _undominated(grown)
        if len(states) > MOST_STATES:
            complete = False
            states = states[:: len(states) // MOST_STATES + 1]
    return tuple(counts), min(states, key=lambda state: state.first + state.second), complete


def _picks(
    tier: _Tier, state: _State, most_first: int, most_second: int, limit: int
) -> Iterable[_State]:
    """For each number of loads on the first side and on both, as many as go on the second."""
    firsts, seconds, boths = tier.sums
    for both_count, both in enumerate(boths):
        first = state.first + both // 2
        second = state.second + both // 2
        if first > most_first or second > most_second or first + second > limit:
            return
        for first_count, more in enumerate(firsts):
            left = min(most_second - second, limit - first - second - more)
            if first + more > most_first or left < 0:
                break
            second_count = bisect_right(seconds, left) - 1
            pick = (first_count, second_count, both_count)
            yield _State(first + more, second + seconds[second_count], (*state.picks, pick))


def _undominated(states: list[_State]) -> list[_State]:
    """The states that no other matches or undercuts on both legs."""
    kept: list[_State] = []
    for state in sorted(states):
        if not kept or state.second < kept[-1].second:
            kept.append(state)
    return kept
