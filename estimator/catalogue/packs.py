"""The cheapest whole packs of goods that may come in any packs: pieces, and loose lengths."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.catalogue.match import Offer

NODE_BUDGET = 20_000

# Money, quantity bought, packs: compared in this order, so that of equally cheap purchases
# the one with the least left over counts, then the one with the fewest packs.
Worth = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Choice:
    """How many packs of each offer. optimal: proven that none is better."""

    packs: tuple[tuple[Offer, int], ...]
    optimal: bool


def cheapest_packs(need: int, offers: Sequence[Offer]) -> Choice:
    """The packs that cover a need at least money; ties: least left over, then fewest packs.

    need: in 1/10,000 of a unit, above zero. offers: as ordered in an ItemIndex, at least one;
    a tie that is still left goes to the offer that stands first. Quickest with those that are
    worth buying.
    Exact by branch and bound; when NODE_BUDGET is spent the best purchase found so far is
    returned with optimal False.
    """
    # A pack that costs more than all that is needed bought otherwise is of no use.
    enough = min([-(-need // offer.size) * offer.price for offer in offers])
    offers = [offer for offer in offers if offer.price <= enough]
    if len(offers) == 1:
        return Choice(((offers[0], -(-need // offers[0].size)),), True)
    search = _PackSearch(offers)
    search.run(0, need, (0, 0, 0), [])
    packs = tuple((search.offers[i], count) for i, count in enumerate(search.best_counts) if count)
    return Choice(packs, search.nodes <= NODE_BUDGET)


class _PackSearch:
    """Depth-first search over counts, cheapest unit first.

    The bound fills what is still needed at the next offer's unit price. As offers stand in
    order of unit price, a smaller count never has a lower bound than a larger one.
    """

    def __init__(self, offers: Sequence[Offer]) -> None:
        self.offers = offers
        self.best: Worth | None = None
        self.best_counts: list[int] = []
        self.nodes = 0
        # Largest pack from each position on: for the fewest packs that may still be needed.
        self.largest = [max(o.size for o in offers[i:]) for i in range(len(offers))]

    def run(self, position: int, need: int, spent: Worth, counts: list[int]) -> None:
        """Try every count of the offer at ``position`` that can still lead to the best."""
        offer = self.offers[position]
        last = position + 1 == len(self.offers)
        for count in range(-(-need // offer.size), -1, -1):
            self.nodes += 1
            left = need - count * offer.size
            worth = (
                spent[0] + count * offer.price,
                spent[1] + count * offer.size,
                spent[2] + count,
            )
            if left <= 0:
                self._keep(worth, [*counts, count])
            elif last or self.nodes > NODE_BUDGET:
                return
            elif self._bound(position + 1, left, worth):
                self.run(position + 1, left, worth, [*counts, count])
            elif (
                self.best is not None
                and self._least_money(position + 1, left, worth) > (self.best[0])
            ):
                return

    def _least_money(self, position: int, left: int, worth: Worth) -> int:
        return worth[0] + left * self.offers[position].rate

    def _bound(self, position: int, left: int, worth: Worth) -> bool:
        """Whether the rest can still give something better than the best."""
        least = (
            self._least_money(position, left, worth),
            worth[1] + left,
            worth[2] + -(-left // self.largest[position]),
        )
        return self.best is None or least < self.best

    def _keep(self, worth: Worth, counts: list[int]) -> None:
        if self.best is None or worth < self.best:
            self.best, self.best_counts = worth, counts
