"""From a way to buy a part back to items, and to what is taken from stock and from kits."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.catalogue.buying.needs import Line, Need, Way
from estimator.catalogue.lay_out import lay_out
from estimator.catalogue.match import STEPS_PER_UNIT
from estimator.catalogue.records import Bought
from estimator.takeoff.records import Part

_LAY_OUT_BUDGET = 20_000


@dataclass(frozen=True, slots=True)
class Taken:
    """What is bought, largest pack first, and what serves the part without being bought for it.

    from_kits: of each piece that kits hold, in order. Quantities in the unit of the part.
    """

    bought: tuple[Bought, ...]
    leftover: Decimal
    from_stock: Decimal
    from_kits: tuple[Decimal, ...]


def taken_from_stock(part: Part, need: Need, way: Way, in_stock: int) -> Taken:
    """What a way takes of the pieces at hand, of which the first ``in_stock`` are stock.

    Stock is left alone where what is bought, and what kits hold, covers the part without it.
    """
    used = _used(need, way)
    stock, kits = used[:in_stock], used[in_stock:]
    if any(stock) and _covered_without(need, way, in_stock):
        stock = [0] * in_stock
        kits = _of_kits(need, way, in_stock)
    bought = _bought(need.lines, way)
    from_stock, from_kits = _units(sum(stock)), tuple(map(_units, kits))
    in_all = sum([each.quantity for each in bought], from_stock) + sum(from_kits)
    return Taken(bought, in_all - part.quantity, from_stock, from_kits)


def _bought(lines: Sequence[Line], way: Way) -> tuple[Bought, ...]:
    packs = [(line.offer, count) for line, count in zip(lines, way.packs, strict=True) if count]
    packs.sort(key=lambda entry: -entry[0].size)
    return tuple(Bought(offer.item, count, count * offer.item.pack) for offer, count in packs)


def _used(need: Need, way: Way) -> list[int]:
    if need.cuts:
        return list(way.from_hand) + [0] * (len(need.at_hand) - len(way.from_hand))
    return _in_turn(need.amount, need.at_hand)


def _in_turn(left: int, pieces: Sequence[int]) -> list[int]:
    used: list[int] = []
    for piece in pieces:
        used.append(min(piece, max(left, 0)))
        left -= used[-1]
    return used


def _covered_without(need: Need, way: Way, in_stock: int) -> bool:
    if not need.cuts:
        return way.size + sum(need.at_hand[in_stock:]) >= need.amount
    pieces = [
        piece
        for line, count in zip(need.lines, way.packs, strict=True)
        for piece in _pieces(line, count)
    ]
    pieces = sorted([*pieces, *need.at_hand[in_stock:]], reverse=True)[: len(need.cuts)]
    if not pieces:
        return False
    total = sum(need.cuts)
    most = min(total, sum(pieces))
    found = lay_out(need.cuts, pieces, most=most, enough=total, whole=True, budget=_LAY_OUT_BUDGET)
    return found.served == total


def _pieces(line: Line, count: int) -> list[int]:
    if line.offer.by_foot:
        return [count * STEPS_PER_UNIT] if count else []
    return [line.offer.length] * (count * line.offer.pieces)


def _of_kits(need: Need, way: Way, in_stock: int) -> list[int]:
    """What kits have to serve when no stock does."""
    pieces = need.at_hand[in_stock:]
    if not need.cuts:
        return _in_turn(need.amount - way.size, pieces)
    return _in_turn(max(sum(need.cuts) - way.size, 0), pieces)


def _units(amount: int) -> Decimal:
    return Decimal(amount) / STEPS_PER_UNIT
