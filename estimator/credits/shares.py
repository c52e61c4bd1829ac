"""Dividing a sum of money by weights so that the parts add up to it, to the cent."""

from collections.abc import Sequence
from decimal import ROUND_FLOOR, Decimal

from estimator.money import CENT, ZERO


def divided(amount: Decimal, weights: Sequence[Decimal]) -> tuple[Decimal, ...]:
    """``amount`` in proportion to ``weights``: whole cents that sum to it exactly.

    amount: whole cents. weights: none negative, at least one above zero. What is left after
    rounding down goes cent by cent to the largest remainders, the earlier weight first.
    """
    whole = sum(weights, ZERO)
    exact = [amount * weight / whole for weight in weights]
    parts = [share.quantize(CENT, ROUND_FLOOR) for share in exact]
    cents_left = int((amount - sum(parts, ZERO)) / CENT)
    by_remainder = sorted(range(len(parts)), key=lambda place: parts[place] - exact[place])
    for place in by_remainder[:cents_left]:
        parts[place] += CENT
    return tuple(parts)
