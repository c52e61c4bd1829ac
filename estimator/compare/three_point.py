"""Ranges from three points: low, likely and high of each amount, and of their sum.

Each amount is taken as beta distributed between its low and high with its likely value as the
mode (shape 4): mean = (low + 4 likely + high) / 6, variance = (mean - low)(high - mean) / 7,
third central moment = variance x (low + high - 2 mean) / 4. The sum of amounts that do not
depend on each other is taken as normal, corrected once for its skewness, within the sums of the
lows and of the highs. Sources: pert_three_point, normal_sum.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from statistics import NormalDist
from typing import NamedTuple

from estimator.money import to_cents
from estimator.record import quick

_TWO, _FOUR, _SIX, _SEVEN = Decimal(2), Decimal(4), Decimal(6), Decimal(7)
_NOTHING = Decimal(0)
# Deviations between the median of a normal distribution and its 10th or 90th percentile.
NINETIETH = Decimal(str(round(NormalDist().inv_cdf(0.9), 10)))


class Moments(NamedTuple):
    """What is known of a distribution. third: central, above zero with a long high end."""

    mean: Decimal
    variance: Decimal
    third: Decimal


@quick
@dataclass(frozen=True, slots=True)
class ThreePoint:
    """An amount by its low, likely and high value, in this order of size."""

    low: Decimal
    likely: Decimal
    high: Decimal

    def moments(self) -> Moments:
        """Mean, variance and third central moment of the beta distribution."""
        if self.low == self.high:
            return Moments(self.likely, _NOTHING, _NOTHING)
        mean = (self.low + _FOUR * self.likely + self.high) / _SIX
        variance = (mean - self.low) * (self.high - mean) / _SEVEN
        third = variance * (self.low + self.high - _TWO * mean) / _FOUR
        return Moments(mean, variance, third)

    def times(self, factor: Decimal) -> "ThreePoint":
        """The amount by a factor that is not negative."""
        return ThreePoint(self.low * factor, self.likely * factor, self.high * factor)


def in_order(low: Decimal, likely: Decimal, high: Decimal) -> ThreePoint:
    """Three points with low and high widened to the likely value where they lie beyond it."""
    return ThreePoint(min(low, likely), likely, max(high, likely))


def range_of_sum(amounts: Iterable[ThreePoint]) -> ThreePoint:
    """The 10th, 50th and 90th percentile of a sum of independent amounts, to the cent."""
    low = mean = high = variance = third = _NOTHING
    for amount in amounts:
        one = amount.moments()
        low, mean, high = low + amount.low, mean + one.mean, high + amount.high
        variance += one.variance
        third += one.third
    if not variance:
        return ThreePoint(to_cents(mean), to_cents(mean), to_cents(mean))
    spread = NINETIETH * variance.sqrt()
    lean = third / variance / _SIX
    aside = mean + lean * (NINETIETH * NINETIETH - 1)
    return ThreePoint(
        to_cents(max(low, aside - spread)),
        to_cents(mean - lean),
        to_cents(min(high, aside + spread)),
    )
