"""Circuits on the two legs so that the heavier leg is as light as possible."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.job.records import Circuit
from estimator.sizing.records import Leg
from estimator.sizing.shared_neutrals import Pair

EXACT_UNITS = 24
IMPROVEMENT_ROUNDS = 20


@dataclass(frozen=True, slots=True)
class LegAssignment:
    """A leg for each circuit, in list order.

    proven: no assignment has a lighter heavier leg. limited_by_positions: a better balance
    exists but would need more positions on one leg than the switch has.
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
    other circuit goes on either. positions: how many positions the switch has on L1 and L2;
    ignored when the circuits do not fit in them at all. Exact up to 24 circuits and pairs
    that can be on either leg; beyond, sorted and improved by exchanges, and not proven.
    """
    two_pole = [circuit.poles == 2 for circuit in circuits]
    paired = {number for pair in pairs for number in pair}
    singles = [n for n in range(len(circuits)) if not two_pole[n] and n not in paired]
    watts = _whole_watts(circuits)
    # Each unit leans to one leg by its lean: a single by its watts, a pair by the difference.
    leans = [watts[n] for n in singles]
    leans += [abs(watts[one] - watts[other]) for one, other in pairs]
    counts = [1] * len(singles) + [0] * len(pairs)
    on_second = _split(leans, counts, 0, len(singles))
    limited = False
    if positions is not None:
        taken = sum(two_pole) + len(pairs)
        on_first, on_other = positions[0] - taken, positions[1] - taken
        chosen = sum(on_second[: len(singles)])
        fits = min(on_first, on_other) >= 0 and on_first + on_other >= len(singles)
        if fits and not len(singles) - on_first <= chosen <= on_other:
            free = on_second
            on_second = _split(leans, counts, max(len(singles) - on_first, 0), on_other)
            limited = _gap(leans, on_second) > _gap(leans, free)
    legs: list[Leg] = ["L1+L2"] * len(circuits)
    for place, number in enumerate(singles):
        legs[number] = "L2" if on_second[place] else "L1"
    for place, (one, other) in enumerate(pairs, start=len(singles)):
        heavier, lighter = (one, other) if watts[one] >= watts[other] else (other, one)
        legs[heavier], legs[lighter] = ("L2", "L1") if on_second[place] else ("L1", "L2")
    return LegAssignment(tuple(legs), len(leans) <= EXACT_UNITS, limited)


def _whole_watts(circuits: Sequence[Circuit]) -> list[int]:
    places = max((_decimal_places(circuit.running_w) for circuit in circuits), default=0)
    return [int(circuit.running_w.scaleb(places)) for circuit in circuits]


def _decimal_places(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _gap(leans: Sequence[int], on_second: Sequence[bool]) -> int:
    return abs(
        sum(-lean if second else lean for lean, second in zip(leans, on_second, strict=True))
    )


def _split(leans: Sequence[int], counts: Sequence[int], least: int, most: int) -> list[bool]:
    """Which units lean to L2; those that count number from ``least`` to ``most``."""
    if len(leans) <= EXACT_UNITS:
        chosen = _best_subset(leans, counts, least, most)
        return [bool(chosen >> place & 1) for place in range(len(leans))]
    return _improved(leans, counts, least, most)


def _subsets(leans: Sequence[int], counts: Sequence[int]) -> dict[int, dict[int, int]]:
    """Every subset as number of counting units -> sum of leans -> one bit mask."""
    found: dict[int, dict[int, int]] = {0: {0: 0}}
    for place, (lean, count) in enumerate(zip(leans, counts, strict=True)):
        bit = 1 << place
        grown = {number: dict(sums) for number, sums in found.items()}
        for number, sums in found.items():
            into = grown.setdefault(number + count, {})
            for total, mask in sums.items():
                # The later unit on L2 is preferred, so that the list starts on L1.
                into[total + lean] = mask | bit
        found = grown
    return found


def _best_subset(leans: Sequence[int], counts: Sequence[int], least: int, most: int) -> int:
    """Bit mask of the subset whose sum is nearest to half of all, by meeting in the middle.

    Among equals the one whose number of counting units is nearest to half of them.
    """
    middle = len(leans) // 2
    left = _subsets(leans[:middle], counts[:middle])
    right = {
        number: (sorted(sums), sums)
        for number, sums in _subsets(leans[middle:], counts[middle:]).items()
    }
    whole, counting = sum(leans), sum(counts)
    best = (whole + 1, counting + 1)
    perfect = (whole % 2, counting % 2)
    best_mask = 0
    for left_number, left_sums in left.items():
        for right_number, (ordered, right_sums) in right.items():
            number = left_number + right_number
            if not least <= number <= most:
                continue
            unevenness = abs(2 * number - counting)
            for left_sum, left_mask in left_sums.items():
                at = bisect_right(ordered, whole // 2 - left_sum)
                for right_sum in ordered[max(at - 1, 0) : at + 1]:
                    score = (abs(whole - 2 * (left_sum + right_sum)), unevenness)
                    if score < best:
                        best = score
                        best_mask = left_mask | right_sums[right_sum] << middle
                        if best == perfect:
                            return best_mask
    return best_mask


def _improved(leans: Sequence[int], counts: Sequence[int], least: int, most: int) -> list[bool]:
    """Heaviest first onto the lighter leg, then the best exchanges between the legs."""
    on_second = [False] * len(leans)
    most_first = sum(counts) - least
    first = second = on_first_count = on_second_count = 0
    for place in sorted(range(len(leans)), key=lambda place: -leans[place]):
        to_second = second < first or (second == first and on_second_count < on_first_count)
        if counts[place] and on_second_count >= most:
            to_second = False
        if counts[place] and on_first_count >= most_first:
            to_second = True
        on_second[place] = to_second
        if to_second:
            second += leans[place]
            on_second_count += counts[place]
        else:
            first += leans[place]
            on_first_count += counts[place]
    for _ in range(IMPROVEMENT_ROUNDS):
        if not _exchange(leans, counts, on_second):
            break
    return on_second


def _exchange(leans: Sequence[int], counts: Sequence[int], on_second: list[bool]) -> bool:
    """Exchange the two units (of one kind) that close the gap most; False when none does."""
    difference = sum(
        -lean if second else lean for lean, second in zip(leans, on_second, strict=True)
    )
    heavy_side = difference < 0
    gap = abs(difference)
    best, exchange = gap, None
    for kind in (0, 1):
        places = [place for place in range(len(leans)) if counts[place] == kind]
        light = sorted((leans[place], place) for place in places if on_second[place] != heavy_side)
        weights = [lean for lean, _ in light]
        for place in places:
            if on_second[place] != heavy_side:
                continue
            at = bisect_right(weights, leans[place] - gap // 2)
            for lean, other in light[max(at - 1, 0) : at + 1]:
                left_over = abs(gap - 2 * (leans[place] - lean))
                if left_over < best:
                    best, exchange = left_over, (place, other)
    if exchange is None:
        return False
    for place in exchange:
        on_second[place] = not on_second[place]
    return True
