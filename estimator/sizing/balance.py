"""Whole numbers parted in two so that the sums are as near to each other as can be.

Heaviest first and exchanges find a split that usually meets the bound no split can pass; where
they do not, all reachable sums are kept as the bits of whole numbers, which is exact.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

EXACT_BITS = 200_000_000
EXCHANGE_ROUNDS = 20


@dataclass(frozen=True, slots=True)
class Split:
    """Which units lie on the second side.

    gap: difference of the sums. proven: no allowed split has a smaller gap.
    least_conceivable: not even a split without bounds on the number could be better.
    """

    on_second: tuple[bool, ...]
    gap: int
    proven: bool
    least_conceivable: bool


def balance(leans: Sequence[int], counting: int, least: int, most: int) -> Split:
    """The split with the smallest gap.

    leans: weight of each unit, not negative. counting: how many of them, from the first, count
    in the number on the second side, which lies from ``least`` to ``most``.
    """
    floor = max(sum(leans) % 2, 2 * max(leans, default=0) - sum(leans))
    found = _improved(leans, counting, least, most)
    gap = _gap(leans, found)
    if gap > floor and _bits(leans, counting, least, most) <= EXACT_BITS:
        if least <= 0 and most >= counting:
            found = _exact(leans)
        else:
            found = _exact_counted(leans, counting, least, most)
        exact_gap = _gap(leans, found)
        return Split(tuple(found), exact_gap, True, exact_gap == floor)
    return Split(tuple(found), gap, gap == floor, gap == floor)


def _gap(leans: Sequence[int], on_second: Sequence[bool]) -> int:
    return abs(
        sum(-lean if second else lean for lean, second in zip(leans, on_second, strict=True))
    )


def _bits(leans: Sequence[int], counting: int, least: int, most: int) -> int:
    """Bits that the exact search would keep."""
    rows = 1 if least <= 0 and most >= counting else counting + 1
    return (sum(leans) // 2 + 1) * len(leans) * rows


def _exact(leans: Sequence[int]) -> list[bool]:
    """Bit s of a number says whether some of the units so far sum to s."""
    half = sum(leans) // 2
    keep = (1 << half + 1) - 1
    reachable = [1]
    for lean in leans:
        reachable.append((reachable[-1] | reachable[-1] << lean) & keep)
    left = reachable[-1].bit_length() - 1
    chosen = [False] * len(leans)
    for place in range(len(leans) - 1, -1, -1):
        if not reachable[place] >> left & 1:
            chosen[place] = True
            left -= leans[place]
    return chosen


def _exact_counted(leans: Sequence[int], counting: int, least: int, most: int) -> list[bool]:
    """As above, with one number of bits for each count of units."""
    half = sum(leans) // 2
    keep = (1 << half + 1) - 1
    rows = [1] + [0] * counting
    history = [tuple(rows)]
    for place, lean in enumerate(leans):
        step = 1 if place < counting else 0
        for count in range(counting, step - 1, -1):
            rows[count] |= rows[count - step] << lean & keep
        history.append(tuple(rows))
    # The lighter side may be either one, so its count fits as it is or from the other end.
    allowed = [
        (rows[count].bit_length() - 1, -abs(2 * count - counting), count)
        for count in range(counting + 1)
        if rows[count] and (least <= count <= most or least <= counting - count <= most)
    ]
    left, _, count = max(allowed)
    lighter_is_second = least <= count <= most
    chosen = [False] * len(leans)
    for place in range(len(leans) - 1, -1, -1):
        if not history[place][count] >> left & 1:
            chosen[place] = True
            left -= leans[place]
            count -= 1 if place < counting else 0
    return chosen if lighter_is_second else [not one for one in chosen]


def _improved(leans: Sequence[int], counting: int, least: int, most: int) -> list[bool]:
    """Heaviest first onto the lighter side, then the best exchanges between the sides."""
    on_second = [False] * len(leans)
    most_first = counting - least
    first = second = on_first_count = on_second_count = 0
    for place in sorted(range(len(leans)), key=lambda place: -leans[place]):
        counts = place < counting
        to_second = second < first or (second == first and on_second_count < on_first_count)
        if counts and on_second_count >= most:
            to_second = False
        if counts and on_first_count >= most_first:
            to_second = True
        on_second[place] = to_second
        if to_second:
            second += leans[place]
            on_second_count += counts
        else:
            first += leans[place]
            on_first_count += counts
    for _ in range(EXCHANGE_ROUNDS):
        if not _exchange(leans, counting, on_second):
            break
    return on_second


def _exchange(leans: Sequence[int], counting: int, on_second: list[bool]) -> bool:
    """Exchange the two units (of one kind) that close the gap most; False when none does."""
    difference = sum(
        -lean if second else lean for lean, second in zip(leans, on_second, strict=True)
    )
    heavy_side = difference < 0
    gap = abs(difference)
    if gap <= 1:
        return False
    best, exchange = gap, None
    for kind in (range(counting), range(counting, len(leans))):
        light = sorted((leans[place], place) for place in kind if on_second[place] != heavy_side)
        weights = [lean for lean, _ in light]
        for place in kind:
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
