"""What is to be bought and on which terms, in whole numbers."""

from dataclasses import dataclass

from estimator.catalogue.match import Offer

# Shares of a price are counted in so many parts of it.
WHOLE = 1024


@dataclass(frozen=True, slots=True)
class Line:
    """An offer that may serve a part. seller: position of its supplier."""

    offer: Offer
    seller: int


@dataclass(frozen=True, slots=True)
class Need:
    """What one part takes, in steps (1/10,000 of its unit).

    amount: in all. cuts: that must each be whole, longest first; empty where any packs will
    do. at_hand: pieces that cost nothing, in the order in which they are used; where there
    are no cuts only their sum counts.
    """

    amount: int
    cuts: tuple[int, ...]
    lines: tuple[Line, ...]
    at_hand: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Kit:
    """An offer that holds several parts. covers: position of the need, pieces in one pack."""

    offer: Offer
    seller: int
    covers: tuple[tuple[int, tuple[int, ...]], ...]


@dataclass(frozen=True, slots=True)
class Seller:
    """A supplier's terms, in money of offers. free_from None: delivery is never free."""

    name: str
    minimum: int = 0
    fee: int = 0
    free_from: int | None = None


@dataclass(frozen=True, slots=True)
class Way:
    """One way to buy a part: packs of each of its lines.

    money: by seller. used: sellers with money, as bits. size: steps bought. from_hand: steps
    used of each piece at hand, for goods with cuts.
    """

    packs: tuple[int, ...]
    money: tuple[int, ...]
    total: int
    used: int
    size: int
    from_hand: tuple[int, ...] = ()

    @property
    def rank(self) -> tuple[int, int, int]:
        """Money, quantity, packs: what is compared in this order."""
        return (self.total, self.size, sum(self.packs))
