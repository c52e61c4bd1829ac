"""What a line of so many packs costs, and how many packs a line may have."""

from collections.abc import Iterator

from estimator.catalogue.match import Offer


def price_of(offer: Offer, packs: int) -> int:
    """Money for a line; all its packs at the price of the quantity break that it reaches."""
    price = offer.price
    for start, lower in offer.levels:
        if packs >= start:
            price = lower
    return packs * price


def lowest_rate(offer: Offer) -> int:
    """Money for one step of quantity at the lowest of all its breaks."""
    return min([offer.price, *(price for _, price in offer.levels)]) // offer.size


def may_buy(offer: Offer, packs: int) -> int:
    """The fewest packs that a line may have, from ``packs`` up; at least one line's minimum."""
    if packs <= offer.minimum:
        return offer.minimum
    above = -(-(packs - offer.minimum) // offer.increment)
    return offer.minimum + above * offer.increment


def cheapest_count(offer: Offer, packs: int) -> tuple[int, int]:
    """Packs of the cheapest line of at least so many, and its money; ties: fewest packs."""
    if offer.plain:
        return packs, packs * offer.price
    counts = [may_buy(offer, packs)]
    counts += [may_buy(offer, start) for start, _ in offer.levels if start > packs]
    money, count = min((price_of(offer, count), count) for count in counts)
    return count, money


def counts_from(offer: Offer, packs: int) -> Iterator[int]:
    """Every count of packs that a line may have, from ``packs`` up, without end."""
    count = may_buy(offer, packs)
    while True:
        yield count
        count += offer.increment
