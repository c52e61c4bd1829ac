"""All parts from a given set of sellers, each of which must sell for at least its floor."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from estimator.catalogue.buying.fill import Filler, Packs
from estimator.catalogue.buying.line_prices import counts_from, price_of
from estimator.catalogue.buying.merge_ways import MergeLabels
from estimator.catalogue.buying.needs import WHOLE, Way
from estimator.catalogue.buying.part_buyer import Least, PartBuyer
from estimator.catalogue.buying.reach_floor import ReachFloor
from estimator.catalogue.fillings import Steps

_ROUNDS = 2
# By how much a bound is raised at first, and by how much more each time.
_ROOM = 2 * 10**6
_GROWTH = 6
# Other shares that give a bound too: how far from the best ones, and how many.
_APART = 2
_ALSO = 12
_NEVER = 1 << 200


@dataclass(frozen=True, slots=True)
class Basket:
    """A way for each part, and packs that fill up to the floors, by seller. money: in all."""

    ways: tuple[Way, ...]
    fills: tuple[tuple[int, Packs], ...]
    money: int


@dataclass(frozen=True, slots=True)
class _Shared:
    """Shares of prices that count, the cheapest ways at them, and the bound they give."""

    weights: tuple[int, ...]
    leasts: Sequence[Least]
    bound: int

    def far_from(self, other: "_Shared") -> int:
        """The largest difference of the share of any seller."""
        return max(map(abs, map(int.__sub__, self.weights, other.weights)))


class Assignment:
    """Parts from the sellers of ``among``.

    base: money by seller that is spent already (on kits). floors: least money by seller.
    fillers: by seller. steps: of all assignments of a plan. bound: no basket costs less, and none
    that is looked for less than what it was raised to. best: the least money found, with its
    ways. done: best, or nothing cheaper than what was looked for, is proven. stuck: out of steps
    before that.
    """

    def __init__(
        self,
        buyers: Sequence[PartBuyer],
        among: int,
        base: Sequence[int],
        floors: Sequence[int],
        fillers: Sequence[Filler],
        steps: Steps,
    ) -> None:
        self.steps = steps
        self.buyers = buyers
        self.among = among
        self.base = tuple(base)
        self.floors = tuple(floors)
        self.fillers = fillers
        self.sellers = range(len(base))
        self.best: tuple[int, tuple[Way, ...]] | None = None
        leasts = [buyer.least(among) for buyer in buyers]
        self._leasts = [least for least in leasts if least is not None]
        assert len(self._leasts) == len(leasts)  # only sets that cover every part are asked for
        self.bound = sum(self.base) + sum(least.bound for least in self._leasts)
        ways = tuple(least.way for least in self._leasts)
        self._short = self._below_floor(ways)
        self._shared: _Shared | None = None
        self._tried: dict[tuple[int, ...], _Shared] = {}
        self._room = _ROOM
        self.keep(ways)
        self.done = not self._short
        self.stuck = False

    def advance(self, below: int) -> None:
        """One step: a closer bound, or a look for baskets a little above the bound.

        The closer to the bound a basket has to be, the fewer ways can be in it. below: money
        from which on a basket is of no use.
        """
        if self.best is not None:
            below = min(below, self.best[0])
        if self._shared is None:
            at_full = [Least(least.way, least.bound * WHOLE) for least in self._leasts]
            start = _Shared((WHOLE,) * len(self.base), at_full, self.bound)
            self._shared = self._with_shares(start)
            self.bound = max(self.bound, self._shared.bound)
        else:
            self._look(self._shared, min(below, self.bound + self._room))
            if self.best is not None:
                below = min(below, self.best[0])
        self.done = self.done or self.bound >= below

    def _look(self, shared: _Shared, below: int) -> None:
        """Look for baskets below a sum; raise the bound to it where there are none."""
        choices = self._choices(shared, below)
        if choices is None:
            self.stuck = True
            return
        known = _NEVER if self.best is None else self.best[0]
        merged: tuple[Way, ...] = ()
        if all(choices):
            self._improve([least.way for least in shared.leasts], choices)
            if self.best is not None:
                self._improve(self.best[1], choices)
                below = min(below, self.best[0])
            merge = self._merge(shared, choices)
            merged = merge.run(below)
            if not merge.complete:
                if merged:
                    self.keep(merged)
                # With a better basket known, fewer ways can be in one that is better still.
                self.stuck = self.best is None or self.best[0] >= known
                return
        if merged:
            self._take(merged)
        else:
            self.bound = max(self.bound, below)
            self._room *= _GROWTH

    def _take(self, merged: tuple[Way, ...]) -> None:
        """The cheapest ways with the floors looked at; other floors may still not be reached."""
        found = self.money_of(merged, self._short)
        assert found is not None  # filled up by the search
        self.bound = max(self.bound, found[0])
        self.keep(merged)
        more = self._below_floor(merged) - self._short
        self._short |= more
        self._shared = None
        self._room = _ROOM
        self.done = not more

    def _below_floor(self, ways: Sequence[Way]) -> set[int]:
        return {s for s in self.sellers if self.sold(ways, s) < self.floors[s]}

    def basket(self) -> Basket | None:
        """The best basket found so far."""
        return None if self.best is None else self._basket_of(self.best[1], self.best[0])

    def sold(self, ways: Iterable[Way], seller: int) -> int:
        """Money of a seller before filling up."""
        return self.base[seller] + sum([way.money[seller] for way in ways])

    def money_of(self, ways: Sequence[Way], sellers: Iterable[int]) -> tuple[int, bool] | None:
        """Money in all with some sellers filled up to their floors, and whether that is proven
        the least; None where nothing can be filled up."""
        money = sum(self.base) + sum([way.total for way in ways])
        proven = True
        for seller in sellers:
            missing = self.floors[seller] - self.sold(ways, seller)
            if missing > 0:
                filled = self.fillers[seller].least(missing)
                if filled is None:
                    return None
                money += filled.money
                proven = proven and filled.proven
        return money, proven

    def keep(self, ways: Sequence[Way]) -> None:
        """Take the ways, filled up, for the best if they are."""
        ways = self._with_lines_raised(ways)
        found = self.money_of(ways, self.sellers)
        if found is not None and (self.best is None or found[0] < self.best[0]):
            self.best = (found[0], tuple(ways))

    def _basket_of(self, ways: tuple[Way, ...], money: int) -> Basket:
        fills = tuple(
            (s, self.fillers[s].packs(missing))
            for s in self.sellers
            if (missing := self.floors[s] - self.sold(ways, s)) > 0
        )
        return Basket(ways, fills, money)

    def _merge(self, shared: _Shared, choices: list[list[Way]]) -> ReachFloor | MergeLabels:
        bounds = [least.bound for least in shared.leasts]
        if len(self._short) == 1:
            (seller,) = self._short
            if not shared.weights[seller]:
                given = (self.base, self.floors[seller], self.fillers[seller])
                return ReachFloor(seller, *given, choices, bounds)
        merge = MergeLabels(self, shared.weights, sorted(self._short), choices, bounds, self.steps)
        near = sorted(self._tried.values(), key=lambda one: (one.far_from(shared), one.weights))
        also = [one for one in near if one.far_from(shared) >= _APART][:_ALSO]
        merge.also_bounded_by(
            [(one.weights, [least.bound for least in one.leasts]) for one in also]
        )
        return merge

    def _improve(self, ways: Sequence[Way], choices: Sequence[Sequence[Way]]) -> None:
        """Change one part at a time as long as what is bought, or filled up, gets cheaper."""
        ways = list(ways)
        sold = [self.sold(ways, seller) for seller in self.sellers]
        money = sum(map(max, sold, self.floors))
        better = True
        while better:
            better = False
            for place, others in enumerate(choices):
                for other in others:
                    changed = [
                        now + new - old
                        for now, new, old in zip(sold, other.money, ways[place].money, strict=True)
                    ]
                    after = sum(map(max, changed, self.floors))
                    if after < money:
                        sold, money, ways[place], better = changed, after, other, True
            self.keep(ways)

    def _choices(self, shared: _Shared, below: int) -> list[list[Way]] | None:
        """For each part the ways that can be in a basket of less money."""
        taken_off = [WHOLE - weight for weight in shared.weights]
        room = (below - 1) * WHOLE - sum(least.bound for least in shared.leasts)
        room -= sum(map(int.__mul__, taken_off, self.floors))
        room -= sum(map(int.__mul__, shared.weights, self.base))
        bounds = [least.bound for least in self._leasts]
        more = below - 1 - sum(self.base) - sum(bounds)
        if room < 0 or more < 0:
            return [[] for _ in self.buyers]
        choices: list[list[Way]] = []
        short = sorted(self._short)
        for buyer, least, bound in zip(self.buyers, shared.leasts, bounds, strict=True):
            limits = (least.bound + room, bound + more)
            ways = buyer.every(self.among, shared.weights, limits, short)
            if ways is None:
                return None
            choices.append(ways)
        return choices

    def _with_shares(self, start: _Shared) -> _Shared:
        """Lower the prices of sellers that are short until they sell enough; the best bound."""
        best = start
        weights = list(start.weights)
        for _ in range(_ROUNDS if len(self._short) > 1 else 1):
            for seller in sorted(self._short):
                best = max(best, self._one_share(seller, weights), key=lambda one: one.bound)
        return best

    def _one_share(self, seller: int, weights: list[int]) -> _Shared:
        """Halve towards the share of one seller's price at which it just sells enough."""
        few, many = 0, WHOLE
        lower: tuple[Way, ...] | None = None
        weights[seller] = 0
        best = self._at(tuple(weights))
        upper = tuple(least.way for least in best.leasts)
        self.keep(upper)
        if self.sold(upper, seller) < self.floors[seller]:
            return best
        while few < many - 1:
            share = (few + many) // 2
            weights[seller] = WHOLE - share
            shared = self._at(tuple(weights))
            best = max(best, shared, key=lambda one: one.bound)
            ways = tuple(least.way for least in shared.leasts)
            self.keep(ways)
            if self.sold(ways, seller) >= self.floors[seller]:
                upper, many = ways, share
            else:
                lower, few = ways, share
        if lower is not None:
            self._between(lower, upper)
        weights[seller] = WHOLE - many
        return best

    def _at(self, weights: tuple[int, ...]) -> _Shared:
        """No basket is cheaper: floors at the share taken off, all else at what is left of it."""
        found = [buyer.weighted(self.among, weights) for buyer in self.buyers]
        leasts = [least for least in found if least is not None]
        total = sum(least.bound for least in leasts)
        for seller in self.sellers:
            total += (WHOLE - weights[seller]) * self.floors[seller]
            total += weights[seller] * self.base[seller]
        shared = _Shared(weights, leasts, -(-total // WHOLE))
        self._tried[weights] = shared
        return shared

    def _between(self, lower: Sequence[Way], upper: Sequence[Way]) -> None:
        """Go from one set of ways to another part by part, and keep the best on the way."""
        changed = [place for place, way in enumerate(lower) if way != upper[place]]
        for start, end in ((lower, upper), (upper, lower)):
            ways = list(start)
            for place in changed:
                ways[place] = end[place]
                self.keep(ways)

    def _with_lines_raised(self, ways: Sequence[Way]) -> Sequence[Way]:
        """More packs of a line with breaks or steps, where a seller sells nothing else."""
        for seller in self.sellers:
            missing = self.floors[seller] - self.sold(ways, seller)
            if missing > 0 and not self.fillers[seller].prices:
                ways = self._raised(ways, seller, missing)
        return ways

    def _raised(self, ways: Sequence[Way], seller: int, missing: int) -> Sequence[Way]:
        best: tuple[int, int, int, int] | None = None
        for place, (buyer, way) in enumerate(zip(self.buyers, ways, strict=True)):
            for at, line in enumerate(buyer.need.lines):
                if line.seller != seller:
                    continue
                now = price_of(line.offer, way.packs[at]) if way.packs[at] else 0
                for count in counts_from(line.offer, way.packs[at] + 1):
                    more = price_of(line.offer, count) - now
                    if more >= missing:
                        choice = (more, place, at, count)
                        best = choice if best is None else min(best, choice)
                        break
        if best is None:
            return ways
        more, place, at, count = best
        way, line = ways[place], self.buyers[place].need.lines[at]
        raised = replace(
            way,
            packs=(*way.packs[:at], count, *way.packs[at + 1 :]),
            money=(*way.money[:seller], way.money[seller] + more, *way.money[seller + 1 :]),
            total=way.total + more,
            used=way.used | 1 << seller,
            size=way.size + (count - way.packs[at]) * line.offer.size,
        )
        return (*ways[:place], raised, *ways[place + 1 :])
