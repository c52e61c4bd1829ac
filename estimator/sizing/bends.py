"""Pull points, so that no stretch of raceway bends more than it may."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from estimator.units import rounded

ELBOW_DEG = Decimal(90)


def pull_points(bends_deg: Sequence[Decimal], max_deg: Decimal) -> int:
    """Pull points needed when bends are taken in order [1].

    bends_deg: bends along the run; an entry over max_deg is a total of 90-degree bends.
    """
    points = 0
    since_last = Decimal(0)
    for bend in _single_bends(bends_deg, max_deg):
        if since_last + bend > max_deg:
            points += 1
            since_last = Decimal(0)
        since_last += bend
    return points


def _single_bends(bends_deg: Sequence[Decimal], max_deg: Decimal) -> Iterable[Decimal]:
    for bend in bends_deg:
        left = bend
        if bend > max_deg:
            while left > ELBOW_DEG:
                yield ELBOW_DEG
                left -= ELBOW_DEG
        yield left


def even_segments(length_ft: Decimal, points: int) -> tuple[Decimal, ...]:
    """Stretches between boxes when pull points are spread evenly; they sum to the length."""
    if points == 0:
        return (length_ft,)
    each = rounded(length_ft / (points + 1), 2)
    return (*[each] * points, length_ft - each * points)
