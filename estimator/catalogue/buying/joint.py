"""Which suppliers to use and how many kits to buy: the whole plan at least money."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from heapq import heapify, heappop, heappush
from itertools import product

from estimator.catalogue.buying.assign import Assignment, Basket
from estimator.catalogue.buying.fill import Filler
from estimator.catalogue.buying.line_prices import may_buy, price_of
from estimator.catalogue.buying.needs import Kit, Need, Seller
from estimator.catalogue.buying.part_buyer import PartBuyer
from estimator.catalogue.fillings import Steps
from estimator.catalogue.match import Offer

SET_BUDGET = 1_500
KIT_BUDGET = 3_000
MERGE_BUDGET = 250_000
_NEVER = 1 << 200


@dataclass(frozen=True, slots=True)
class Bought:
    """The best plan found.

    packs: of each line of each need. kits: packs of each kit; serving: those of them that parts
    are taken from, the others only fill up. at_hand: what was at hand for
    each need, kits included (what they hold after what was there). from_hand: steps used of
    each of these pieces, for goods with cuts. fees: by seller, None where it is not used.
    money: in all. bound: no plan costs less.
    """

    packs: tuple[tuple[int, ...], ...]
    kits: tuple[int, ...]
    serving: tuple[int, ...]
    at_hand: tuple[tuple[int, ...], ...]
    from_hand: tuple[tuple[int, ...], ...]
    fees: tuple[int | None, ...]
    money: int
    bound: int


def buy_jointly(
    needs: Sequence[Need], kits: Sequence[Kit], sellers: Sequence[Seller], most: int | None = None
) -> Bought | None:
    """The plan of least money; None where no plan covers every need within ``most`` sellers."""
    return _Search(needs, kits, sellers, most).run()


@dataclass(frozen=True, slots=True)
class _Found:
    """A basket with its kits, what is at hand for each need, and the sellers that deliver."""

    basket: Basket
    kits: tuple[int, ...]
    needs: tuple[Need, ...]
    money: int


@dataclass(frozen=True, slots=True)
class _Terms:
    """For each seller of a set what it must sell at least, and the fees then due in all."""

    among: int
    floors: tuple[int, ...]
    fees: int
    bound: int


@dataclass(frozen=True, slots=True)
class _Given:
    """Parts and money spent already with so many kits."""

    buyers: Sequence[PartBuyer]
    base: Sequence[int]
    counts: tuple[int, ...]
    needs: tuple[Need, ...]


class _Search:
    def __init__(
        self,
        needs: Sequence[Need],
        kits: Sequence[Kit],
        sellers: Sequence[Seller],
        most: int | None,
    ) -> None:
        self.needs = tuple(needs)
        self.kits = tuple(kits)
        self.sellers = tuple(sellers)
        self.most = len(sellers) if most is None else most
        self.limited = most is not None and most < len(sellers)
        self.enough = max([0, *(max(s.minimum, s.free_from or 0) for s in sellers)])
        self.everyone = (1 << len(sellers)) - 1
        self.fillers = [Filler(self._fill_prices(at)) for at in range(len(sellers))]
        self.buyers: dict[tuple[int, tuple[int, ...]], PartBuyer] = {}
        self.best: _Found | None = None
        # The least bound of anything that was left out for want of steps.
        self.open_bound = _NEVER
        self.sets = 0
        self.steps = Steps(MERGE_BUDGET)

    def run(self) -> Bought | None:
        """Kits from the least bound on until that reaches the best plan found."""
        rated = []
        for counts in self._kit_counts():
            bound = self._kit_bound(counts)
            if bound is not None:
                rated.append((bound, counts))
        for bound, counts in sorted(rated):
            if self.best is not None and bound >= self.best.money:
                break
            self._with_kits(counts)
        return None if self.best is None else self._bought(self.best)

    def _fill_prices(self, seller: int) -> list[int]:
        return [offer.price for offer, _, _ in self.fillings_of(seller)]

    def fillings_of(self, seller: int) -> list[tuple[Offer, int, int]]:
        """Plain offers of a seller, with the position of need (or -1: kit) and of the line."""
        found: list[tuple[Offer, int, int]] = []
        for place, need in enumerate(self.needs):
            for at, line in enumerate(need.lines):
                if line.seller == seller and line.offer.plain:
                    found.append((line.offer, place, at))
        for at, kit in enumerate(self.kits):
            if kit.seller == seller and kit.offer.plain:
                found.append((kit.offer, -1, at))
        return found

    def _kit_counts(self) -> Iterator[tuple[int, ...]]:
        """Counts of each kit that could be of use, none first."""
        ranges = [self._useful(kit) for kit in self.kits]
        for tried, counts in enumerate(product(*ranges)):
            if tried >= KIT_BUDGET:
                self.open_bound = min(self.open_bound, 0)
                return
            yield counts

    def _useful(self, kit: Kit) -> list[int]:
        """None, and counts up to what covers all it can, or alone reaches every floor."""
        most = 1
        for place, pieces in kit.covers:
            need = self.needs[place]
            most = max(most, len(need.cuts) if need.cuts else -(-need.amount // sum(pieces)))
        counts = [0]
        count = may_buy(kit.offer, 1)
        while True:
            counts.append(count)
            reaches = kit.offer.plain or price_of(kit.offer, count) >= self.enough
            last_level = kit.offer.levels[-1][0] if kit.offer.levels else 0
            if count >= max(most, last_level) and reaches:
                return counts
            count += kit.offer.increment

    def _supplied(self, counts: tuple[int, ...]) -> tuple[Need, ...]:
        """The needs with what the kits hold at hand."""
        needs = list(self.needs)
        for kit, count in zip(self.kits, counts, strict=True):
            for place, pieces in kit.covers if count else ():
                need = needs[place]
                # More pieces than cuts are never used.
                times = min(count, len(need.cuts)) if need.cuts else count
                needs[place] = replace(need, at_hand=need.at_hand + pieces * times)
        return tuple(needs)

    def _kit_money(self, counts: tuple[int, ...]) -> list[int]:
        money = [0] * len(self.sellers)
        for kit, count in zip(self.kits, counts, strict=True):
            money[kit.seller] += price_of(kit.offer, count) if count else 0
        return money

    def _kit_bound(self, counts: tuple[int, ...]) -> int | None:
        money = sum(self._kit_money(counts))
        for place, need in enumerate(self._supplied(counts)):
            least = self._buyer(place, need).least(self.everyone)
            if least is None:
                return None
            money += least.bound
        return money

    def _buyer(self, place: int, need: Need) -> PartBuyer:
        key = (place, need.at_hand)
        buyer = self.buyers.get(key)
        if buyer is None:
            buyer = self.buyers[key] = PartBuyer(need, len(self.sellers), self.enough)
        return buyer

    def _with_kits(self, counts: tuple[int, ...]) -> None:
        """The best plan with so many kits, if it is better than the best so far."""
        needs = self._supplied(counts)
        base = self._kit_money(counts)
        buyers = [self._buyer(place, need) for place, need in enumerate(needs)]
        must = 0
        for kit, count in zip(self.kits, counts, strict=True):
            must |= (1 << kit.seller) if count else 0
        self._start(buyers, base, must, counts, needs)
        terms = [
            each
            for among in self._sets(buyers, sum(base), must)
            for each in self._terms_of(among, buyers, sum(base))
        ]
        self._search_terms(terms, _Given(buyers, base, counts, needs))

    def _search_terms(self, terms: Sequence[_Terms], given: _Given) -> None:
        """Always go on where the bound is least, until that reaches the best plan found."""
        waiting: list[tuple[int, int, Assignment | None]] = [
            (each.bound, at, None) for at, each in enumerate(terms)
        ]
        heapify(waiting)
        while waiting:
            bound, at, assignment = heappop(waiting)
            if self.best is not None and bound >= self.best.money:
                return
            each = terms[at]
            if assignment is None:
                self.sets += 1
                assignment = Assignment(
                    given.buyers, each.among, given.base, each.floors, self.fillers, self.steps
                )
            else:
                below = _NEVER if self.best is None else self.best.money - each.fees
                assignment.advance(below)
            self._take(assignment, each, given)
            if assignment.stuck or self.sets > SET_BUDGET:
                self.open_bound = min(self.open_bound, assignment.bound + each.fees)
            elif not assignment.done:
                heappush(waiting, (max(bound, assignment.bound + each.fees), at, assignment))

    def _take(self, assignment: Assignment, terms: _Terms, given: _Given) -> None:
        if assignment.best is None:
            return
        money = assignment.best[0] + terms.fees
        if self.best is None or money < self.best.money:
            basket = assignment.basket()
            assert basket is not None  # there is a best one
            self.best = _Found(basket, given.counts, given.needs, money)

    def _start(
        self,
        buyers: Sequence[PartBuyer],
        base: Sequence[int],
        must: int,
        counts: tuple[int, ...],
        needs: tuple[Need, ...],
    ) -> None:
        """A first plan: everyone, then one seller less as long as that costs less."""
        among, known = self.everyone, _NEVER
        while True:
            tried = []
            for at in range(len(self.sellers)):
                if among >> at & 1 and not must >> at & 1:
                    less = among & ~(1 << at)
                    found = self._as_they_are(buyers, base, less)
                    tried += [] if found is None else [(found[1], less, found[0])]
            if not tried:
                return
            money, among, basket = min(tried, key=lambda one: one[:2])
            allowed = among.bit_count() <= self.most
            if allowed and (self.best is None or money < self.best.money):
                self.best = _Found(basket, counts, needs, money)
            if allowed and money > known:
                return
            known = money

    def _as_they_are(
        self, buyers: Sequence[PartBuyer], base: Sequence[int], among: int
    ) -> tuple[Basket, int] | None:
        """The cheapest way of each part, filled up to the minimum orders; with its money."""
        leasts = [buyer.least(among) for buyer in buyers]
        ways = [least.way for least in leasts if least is not None]
        if len(ways) < len(leasts):
            return None
        sold = [each + sum(way.money[at] for way in ways) for at, each in enumerate(base)]
        floors = [
            seller.minimum if money else 0 for seller, money in zip(self.sellers, sold, strict=True)
        ]
        basket = Assignment(buyers, among, base, floors, self.fillers, self.steps).basket()
        if basket is None:
            return None
        fees = sum(
            _fee(seller, max(money, seller.minimum))
            for seller, money in zip(self.sellers, sold, strict=True)
            if money
        )
        return basket, basket.money + fees

    def _sets(self, buyers: Sequence[PartBuyer], base: int, must: int) -> list[int]:
        """Sets of sellers that can cover all needs, none of them larger than allowed.

        Sellers without terms cost nothing to use, so unless their number is limited they are
        in every set.
        """
        found: list[int] = []
        free = 0
        if not self.limited:
            for at, seller in enumerate(self.sellers):
                free |= (1 << at) if not (seller.minimum or seller.fee) else 0
        open_sellers = [at for at in range(len(self.sellers)) if not (must | free) >> at & 1]

        def decide(place: int, inside: int, undecided: int) -> None:
            if inside.bit_count() > self.most and self.limited:
                return
            bound = self._bound(inside | undecided, inside, buyers, base)
            if bound is None or (self.best is not None and bound >= self.best.money):
                return
            if place == len(open_sellers):
                found.append(inside)
                return
            if len(found) > SET_BUDGET:
                self.open_bound = min(self.open_bound, bound)
                return
            bit = 1 << open_sellers[place]
            decide(place + 1, inside, undecided & ~bit)
            decide(place + 1, inside | bit, undecided & ~bit)

        start = must | free
        decide(0, start, self.everyone & ~start)
        return found

    def _bound(self, among: int, inside: int, buyers: Sequence[PartBuyer], base: int) -> int | None:
        money = base
        for buyer in buyers:
            least = buyer.least(among)
            if least is None:
                return None
            money += least.bound
        for at, seller in enumerate(self.sellers):
            if inside >> at & 1 and seller.free_from is None:
                money += seller.fee
        return money

    def _terms_of(self, among: int, buyers: Sequence[PartBuyer], base: int) -> Iterator[_Terms]:
        """Each seller with its fee from its minimum on, or without from the free sum on."""
        goods = base
        for buyer in buyers:
            least = buyer.least(among)
            assert least is not None  # sets cover all needs
            goods += least.bound
        choices: list[list[tuple[int, int]]] = []
        for at, seller in enumerate(self.sellers):
            if not among >> at & 1:
                choices.append([(0, 0)])
                continue
            ways = [(seller.minimum, seller.fee)]
            if seller.free_from is not None and seller.fee:
                ways.append((max(seller.minimum, seller.free_from), 0))
                if seller.free_from <= seller.minimum:
                    del ways[0]
            choices.append(ways)
        for chosen in product(*choices):
            floors = tuple(floor for floor, _ in chosen)
            fees = sum(fee for _, fee in chosen)
            yield _Terms(among, floors, fees, max(goods, sum(floors)) + fees)

    def _bought(self, found: _Found) -> Bought:
        packs = [list(way.packs) for way in found.basket.ways]
        kits = list(found.kits)
        for seller, filled in found.basket.fills:
            offers = self.fillings_of(seller)
            for at, count in filled:
                _, place, line = offers[at]
                if place < 0:
                    kits[line] += count
                else:
                    packs[place][line] += count
        sold = self._kit_money(tuple(kits))
        for need, counts in zip(self.needs, packs, strict=True):
            for each, count in zip(need.lines, counts, strict=True):
                sold[each.seller] += price_of(each.offer, count) if count else 0
        fees = [
            None if not money else _fee(seller, money)
            for seller, money in zip(self.sellers, sold, strict=True)
        ]
        money = sum(sold) + sum(fee for fee in fees if fee is not None)
        return Bought(
            packs=tuple(map(tuple, packs)),
            kits=tuple(kits),
            serving=found.kits,
            at_hand=tuple(need.at_hand for need in found.needs),
            from_hand=tuple(way.from_hand for way in found.basket.ways),
            fees=tuple(fees),
            money=money,
            bound=min(money, self.open_bound),
        )


def _fee(seller: Seller, sold: int) -> int:
    return 0 if seller.free_from is not None and sold >= seller.free_from else seller.fee
