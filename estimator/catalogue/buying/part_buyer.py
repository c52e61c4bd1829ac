"""Buying one part: the cheapest way from some sellers, and every way worth looking at."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.catalogue.buying.count_ways import CountWays
from estimator.catalogue.buying.cut_ways import CutWays
from estimator.catalogue.buying.line_prices import cheapest_count, lowest_rate, price_of
from estimator.catalogue.buying.needs import WHOLE, Line, Need, Way
from estimator.catalogue.cuts import cheapest_pieces
from estimator.catalogue.fillings import Steps
from estimator.catalogue.match import STEPS_PER_UNIT, Offer, without_dominated
from estimator.catalogue.packs import Choice, cheapest_packs

LEAST_BUDGET = 60_000
WAYS_BUDGET = 40_000
_ANY = 1 << 200

Weights = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Least:
    """The cheapest way found, and in weighted money what no way is below."""

    way: Way
    bound: int


class PartBuyer:
    """One need, with what was found for it so far.

    sellers: how many there are. enough: money at which a line by itself reaches every floor.
    """

    def __init__(self, need: Need, sellers: int, enough: int) -> None:
        self.need = need
        self.sellers = sellers
        self.enough = enough
        self.mask = 0
        for line in need.lines:
            self.mask |= 1 << line.seller
        self._found: dict[tuple[int, Weights], Least | None] = {}
        self._at_full_price: list[tuple[int, Least]] = []

    def least(self, among: int) -> Least | None:
        """The cheapest way from sellers among those of the bits; None when there is none."""
        among &= self.mask
        for searched, found in self._at_full_price:
            if searched & among == among and not found.way.used & ~among:
                return found
        least = self.weighted(among, (WHOLE,) * self.sellers)
        if least is not None:
            least = replace(least, bound=-(-least.bound // WHOLE))
            self._at_full_price.append((among, least))
        return least

    def weighted(self, among: int, weights: Weights) -> Least | None:
        """The same with each seller's prices counted at its weight; bound: in weighted money."""
        among &= self.mask
        key = (among, tuple(w for s, w in enumerate(weights) if among >> s & 1))
        if key not in self._found:
            self._found[key] = self._least(among, weights)
        return self._found[key]

    def every(
        self, among: int, weights: Weights, limits: tuple[int, int], short: Sequence[int]
    ) -> list[Way] | None:
        """Every way of so little weighted money, and money, that differs in what it sells.

        short: the sellers whose sums count; of all others only the cheapest ways are looked
        for. None when out of steps.
        """
        places = self._worth_looking_at(among & self.mask, short)
        lines = [self.need.lines[place] for place in places]
        shares = [weights[line.seller] for line in lines]
        steps = Steps(WAYS_BUDGET)
        ways: dict[tuple[int, ...], Way] = {}
        for packs, used in self._every(lines, shares, limits, steps):
            way = self._way(places, packs, used)
            sells = tuple([way.money[seller] for seller in short])
            kept = ways.get(sells)
            if kept is None or way.rank < kept.rank:
                ways[sells] = way
        return None if steps.out else list(ways.values())

    def _worth_looking_at(self, among: int, short: Sequence[int]) -> list[int]:
        """Lines of sellers that are short, and of all others those that are not dominated."""
        places = self._places(among)
        kept = [place for place in places if self.need.lines[place].seller in short]
        others = [place for place in places if self.need.lines[place].seller not in short]
        place_of = {id(self.need.lines[place].offer): place for place in others}
        offers = [self.need.lines[place].offer for place in others]
        offers.sort(key=lambda offer: (offer.rate, -offer.size))
        return sorted([*kept, *(place_of[id(offer)] for offer in without_dominated(offers))])

    def _every(
        self,
        lines: Sequence[Line],
        shares: Sequence[int],
        limits: tuple[int, int],
        steps: Steps,
    ) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
        need = self.need
        if need.cuts:
            cut_ways = CutWays(need.cuts, lines, shares, self.enough, steps)
            return list(cut_ways.every(need.at_hand, *limits))
        count_ways = CountWays(lines, shares, self.enough, steps)
        left = need.amount - sum(need.at_hand)
        return [(packs, ()) for packs in count_ways.every(left, *limits)]

    def _places(self, among: int) -> list[int]:
        return [place for place, line in enumerate(self.need.lines) if among >> line.seller & 1]

    def _way(self, places: Sequence[int], packs: Sequence[int], used: tuple[int, ...]) -> Way:
        counts = [0] * len(self.need.lines)
        money = [0] * self.sellers
        sellers = size = 0
        for place, count in zip(places, packs, strict=True):
            if count:
                line = self.need.lines[place]
                counts[place] = count
                money[line.seller] += price_of(line.offer, count)
                sellers |= 1 << line.seller
                size += count * line.offer.size
        return Way(tuple(counts), tuple(money), sum(money), sellers, size, used)

    def _least(self, among: int, weights: Weights) -> Least | None:
        need = self.need
        places = self._places(among)
        if not need.cuts and sum(need.at_hand) >= need.amount:
            return Least(self._way((), (), ()), 0)
        plain = all(need.lines[place].offer.plain for place in places)
        if places and plain and not (need.cuts and need.at_hand):
            return self._least_plain(places, weights)
        return self._least_of_all(places, weights)

    def _least_plain(self, places: Sequence[int], weights: Weights) -> Least | None:
        scaled: dict[int, int] = {}
        offers: list[Offer] = []
        for place in places:
            line = self.need.lines[place]
            offer = line.offer
            weight = weights[line.seller]
            offers.append(replace(offer, rate=weight * offer.rate, price=weight * offer.price))
            scaled[id(offers[-1])] = place
        offers = sorted(offers, key=lambda offer: (offer.rate, -offer.size))
        offers = list(without_dominated(offers))
        choice: Choice | None
        if self.need.cuts:
            choice = cheapest_pieces(self.need.cuts, offers)
            if choice is None:
                return None
        else:
            choice = cheapest_packs(self.need.amount - sum(self.need.at_hand), offers)
        chosen = [scaled[id(offer)] for offer, _ in choice.packs]
        way = self._way(chosen, [count for _, count in choice.packs], ())
        money = sum(map(int.__mul__, way.money, weights))
        return Least(way, money if choice.optimal else self._rate_bound(places, weights))

    def _least_of_all(self, places: Sequence[int], weights: Weights) -> Least | None:
        need = self.need
        lines = [need.lines[place] for place in places]
        shares = [weights[line.seller] for line in lines]
        steps = Steps(LEAST_BUDGET)
        known = self._simple(places, weights)
        limit = _ANY if known is None else known[0]
        found: tuple[tuple[int, ...], tuple[int, ...]] | None = None
        if need.cuts:
            found = CutWays(need.cuts, lines, shares, 0, steps).least(need.at_hand, limit)
        elif places:
            left = need.amount - sum(need.at_hand)
            packs = CountWays(lines, shares, 0, steps).least(left, limit)
            found = None if packs is None else (packs, ())
        if found is not None:
            searched = self._ranked(self._way(places, *found), weights)
            known = searched if known is None else min(known, searched, key=lambda one: one[:2])
        if known is None:
            return None
        money, _, way = known
        return Least(way, self._rate_bound(places, weights) if steps.out else money)

    def _ranked(self, way: Way, weights: Weights) -> tuple[int, tuple[int, int, int], Way]:
        return sum(map(int.__mul__, way.money, weights)), way.rank, way

    def _rate_bound(self, places: Sequence[int], weights: Weights) -> int:
        """No way is cheaper than all that is not at hand at the lowest price of a step."""
        left = max(self.need.amount - sum(self.need.at_hand), 0)
        lines = [self.need.lines[place] for place in places]
        rates = [weights[line.seller] * lowest_rate(line.offer) for line in lines]
        return left * min(rates, default=0)

    def _simple(
        self, places: Sequence[int], weights: Weights
    ) -> tuple[int, tuple[int, int, int], Way] | None:
        """A way that is quick to find: from one line alone, or each cut where it is cheapest."""
        ways: list[Way] = []
        for place in places:
            offer = self.need.lines[place].offer
            packs = self._alone(offer)
            if packs is not None:
                unused = (0,) * len(self.need.at_hand)
                ways.append(self._way([place], [cheapest_count(offer, packs)[0]], unused))
        if self.need.cuts:
            mixed = self._cut_by_cut(places, weights)
            if mixed is not None:
                ways.append(mixed)
        ranked = [self._ranked(way, weights) for way in ways]
        return min(ranked, key=lambda one: one[:2], default=None)

    def _alone(self, offer: Offer) -> int | None:
        need = self.need
        if not need.cuts:
            return -(-(need.amount - sum(need.at_hand)) // offer.size)
        if offer.by_foot:
            return -(-need.amount // STEPS_PER_UNIT)
        if offer.length < need.cuts[0]:
            return None
        choice = cheapest_pieces(need.cuts, [offer])
        return None if choice is None else choice.packs[0][1]

    def _cut_by_cut(self, places: Sequence[int], weights: Weights) -> Way | None:
        """Cuts that no piece at hand holds go on a piece each, or by the foot."""
        taken = dict.fromkeys(places, 0)
        room = list(self.need.at_hand)
        used = [0] * len(room)
        for cut in self.need.cuts:
            held = min([(left, at) for at, left in enumerate(room) if left >= cut], default=None)
            if held is not None:
                room[held[1]] -= cut
                used[held[1]] += cut
                continue
            place = self._cheapest_for(cut, places, weights)
            if place is None:
                return None
            taken[place] += cut if self.need.lines[place].offer.by_foot else 1
        packs = []
        for place in places:
            offer = self.need.lines[place].offer
            least = -(-taken[place] // (STEPS_PER_UNIT if offer.by_foot else offer.pieces))
            packs.append(cheapest_count(offer, least)[0] if least else 0)
        return self._way(places, packs, tuple(used))

    def _cheapest_for(self, cut: int, places: Sequence[int], weights: Weights) -> int | None:
        best: tuple[int, int] | None = None
        for place in places:
            line = self.need.lines[place]
            offer = line.offer
            if offer.by_foot or offer.length >= cut:
                money = offer.rate * (cut if offer.by_foot else offer.length)
                choice = (weights[line.seller] * money, place)
                best = choice if best is None else min(best, choice)
        return None if best is None else best[1]
