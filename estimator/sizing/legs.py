"""Circuits on the two legs so that the heavier leg is as light as possible."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import gcd

from estimator.job.records import Circuit
from estimator.sizing.balance import Split, balance
from estimator.sizing.records import Leg
from estimator.sizing.shared_neutrals import Pair


@dataclass(frozen=True, slots=True)
class LegAssignment:
    """A leg for each circuit, in list order.

    proven: no assignment has a lighter heavier leg. limited_by_positions: a better balance
    exists but would need more positions on one leg than the equipment has.
    """

    legs: tuple[Leg, ...]
    proven: bool
    limited_by_positions: bool


def assign_legs(
    circuits: Sequence[Circuit],
    pairs: Sequence[Pair],
    positions: tuple[int, int] | None = None,
) -> LegAssignment:
    """Legs of all circuits on a 120/240 V supply.

    Two-pole circuits load both legs by half; circuits of a pair go on opposite legs; every
    other circuit goes on either. positions: how many positions the equipment has on L1 and
    L2; ignored when the circuits do not fit in them at all.
    """
    two_pole = [circuit.poles == 2 for circuit in circuits]
    paired = {number for pair in pairs for number in pair}
    singles = [n for n in range(len(circuits)) if not two_pole[n] and n not in paired]
    watts = _whole_watts(circuits)
    # Each unit leans to one leg by its lean: a single by its watts, a pair by the difference.
    leans = [watts[n] for n in singles]
    leans += [abs(watts[one] - watts[other]) for one, other in pairs]
    split, limited = _split(leans, len(singles), sum(two_pole) + len(pairs), positions)
    legs: list[Leg] = ["L1+L2"] * len(circuits)
    for place, number in enumerate(singles):
        legs[number] = "L2" if split.on_second[place] else "L1"
    for place, (one, other) in enumerate(pairs, start=len(singles)):
        heavier, lighter = (one, other) if watts[one] >= watts[other] else (other, one)
        legs[heavier], legs[lighter] = ("L2", "L1") if split.on_second[place] else ("L1", "L2")
    return LegAssignment(tuple(legs), split.proven, limited)


def _split(
    leans: Sequence[int], singles: int, on_both: int, positions: tuple[int, int] | None
) -> tuple[Split, bool]:
    """The split of the units, and whether the positions stand against a better one."""
    free = (0, singles)
    bounds = free
    if positions is not None:
        on_first, on_second = positions[0] - on_both, positions[1] - on_both
        if min(on_first, on_second) >= 0 and on_first + on_second >= singles:
            bounds = (max(singles - on_first, 0), min(on_second, singles))
    split = balance(leans, singles, *bounds)
    if bounds == free or split.least_conceivable:
        return split, False
    return split, balance(leans, singles, *free).gap < split.gap


def _whole_watts(circuits: Sequence[Circuit]) -> list[int]:
    """Watts in the largest unit that makes them whole numbers."""
    places = max((_decimal_places(circuit.running_w) for circuit in circuits), default=0)
    whole = [int(circuit.running_w.scaleb(places)) for circuit in circuits]
    unit = gcd(*whole) or 1
    return [watts // unit for watts in whole]


def _decimal_places(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0
