"""The range of a sum by drawing at random, to check the quick way of three_point.py against.

The same seed gives the same figures on every machine that has this Python's generator.
"""

from collections.abc import Sequence
from decimal import Decimal
from random import Random
from typing import Literal

from estimator.compare.three_point import ThreePoint
from estimator.money import to_cents

Shape = Literal["pert", "triangular"]
_PERT_SHAPE = 4
_TENTHS = (1, 5, 9)


def simulated_range(
    amounts: Sequence[ThreePoint], *, draws: int, seed: int, shape: Shape = "pert"
) -> ThreePoint:
    """The 10th, 50th and 90th percentile of the sum over so many draws, to the cent.

    draws: at least 10. The percentile is the draw of that rank, counted from the smallest.
    Raises ValueError for fewer draws. Source: pert_three_point.
    """
    if draws < 10:
        raise ValueError(f"{draws} draws give no tenths; ask for 10 or more")
    random = Random(seed)
    draw = _pert if shape == "pert" else _triangular
    sums = sorted(sum(draw(random, amount) for amount in amounts) for _ in range(draws))
    low, likely, high = (sums[draws * tenth // 10] for tenth in _TENTHS)
    return ThreePoint(*(to_cents(Decimal(str(one))) for one in (low, likely, high)))


def _pert(random: Random, amount: ThreePoint) -> float:
    low, likely, high = float(amount.low), float(amount.likely), float(amount.high)
    width = high - low
    if width <= 0:
        return low
    alpha = 1 + _PERT_SHAPE * (likely - low) / width
    beta = 1 + _PERT_SHAPE * (high - likely) / width
    return low + width * random.betavariate(alpha, beta)


def _triangular(random: Random, amount: ThreePoint) -> float:
    return random.triangular(float(amount.low), float(amount.high), float(amount.likely))
