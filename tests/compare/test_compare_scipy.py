"""Ranges against a library of statistics: beta and triangular percentiles, and sums of them."""

from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from scipy import stats
from scipy.signal import fftconvolve

from estimator.compare.simulation import simulated_range
from estimator.compare.three_point import ThreePoint, range_of_sum

DRAWS, SEED = 40_000, 20251001
SHARES = (0.1, 0.5, 0.9)
AMOUNTS = [
    ("100", "120", "200"),
    ("0", "9", "10"),
    ("3", "3", "9"),
    ("0", "30", "60"),
    ("950", "1000", "1150"),
    ("0", "1000", "1000"),
]
SUMS = [
    [("950", "1000", "1150"), ("10", "20", "70"), ("180", "250", "400")],
    [("50", "50", "90"), ("50", "60", "90"), ("30", "80", "90"), ("85", "85", "85")],
    [("2450", "2450", "2450"), ("231", "412.5", "825"), ("463.2", "487.6", "560.7")],
    [("38.8", "70", "170"), ("336.9", "354.6", "407.8"), ("60", "80.4", "130")],
]


def points(*texts: str) -> ThreePoint:
    return ThreePoint(*(Decimal(text) for text in texts))


def pert(amount: ThreePoint) -> Any:
    """The scaled beta distribution of shape 4 between low and high with its mode at likely."""
    low, likely, high = float(amount.low), float(amount.likely), float(amount.high)
    width = high - low
    alpha, beta = 1 + 4 * (likely - low) / width, 1 + 4 * (high - likely) / width
    return stats.beta(alpha, beta, loc=low, scale=width)


def triangular(amount: ThreePoint) -> Any:
    low, likely, high = float(amount.low), float(amount.likely), float(amount.high)
    return stats.triang((likely - low) / (high - low), loc=low, scale=high - low)


def of_sum(amounts: list[ThreePoint], steps: int = 4000) -> list[float]:
    """Percentiles of the sum by folding the densities into each other on a grid."""
    start = float(sum(amount.low for amount in amounts))
    spread = [amount for amount in amounts if amount.low < amount.high]
    step = float(sum(amount.high - amount.low for amount in spread)) / steps
    folded = np.array([1.0])
    for amount in spread:
        edges = np.arange(0, float(amount.high - amount.low) + step, step) + float(amount.low)
        folded = fftconvolve(folded, np.diff(pert(amount).cdf(edges)))
    # Each piece of a density stands for the middle of its step.
    places = start + step * (np.arange(len(folded)) + 0.5 * len(spread))
    return [float(np.interp(share, np.cumsum(folded), places + step / 2)) for share in SHARES]


@pytest.mark.parametrize("texts", AMOUNTS)
def test_the_moments_are_those_of_the_beta_distribution(texts: tuple[str, ...]) -> None:
    amount = points(*texts)

    ours = amount.moments()

    mean, variance, skew = (float(one) for one in pert(amount).stats(moments="mvs"))
    assert float(ours.mean) == pytest.approx(mean)
    assert float(ours.variance) == pytest.approx(variance)
    assert float(ours.third) == pytest.approx(skew * variance**1.5, abs=1e-9)


@pytest.mark.parametrize("shape", ["pert", "triangular"])
@pytest.mark.parametrize("texts", AMOUNTS)
def test_the_simulation_draws_the_percentiles_of_its_distribution(
    texts: tuple[str, ...], shape: Any
) -> None:
    amount = points(*texts)
    expected = (pert if shape == "pert" else triangular)(amount).ppf(SHARES)

    drawn = simulated_range([amount], draws=DRAWS, seed=SEED, shape=shape)

    # The sampling error of a percentile, at most a hundredth of the width with these draws.
    width = float(amount.high - amount.low)
    found = [float(one) for one in (drawn.low, drawn.likely, drawn.high)]
    assert found == pytest.approx(expected, abs=0.01 * width)


@pytest.mark.parametrize("texts", AMOUNTS)
def test_the_quick_range_of_one_amount_is_near_its_percentiles(texts: tuple[str, ...]) -> None:
    amount = points(*texts)

    quick = range_of_sum([amount])

    # One amount alone is the worst case for taking its distribution as normal.
    width = float(amount.high - amount.low)
    found = [float(one) for one in (quick.low, quick.likely, quick.high)]
    assert found == pytest.approx(pert(amount).ppf(SHARES), abs=0.02 * width)


@pytest.mark.parametrize("texts", SUMS)
def test_the_quick_range_of_a_sum_is_near_the_folded_distributions(
    texts: list[tuple[str, ...]],
) -> None:
    amounts = [points(*one) for one in texts]
    width = float(sum(one.high - one.low for one in amounts))
    expected = of_sum(amounts)

    quick = range_of_sum(amounts)
    drawn = simulated_range(amounts, draws=DRAWS, seed=SEED)

    # A long high end is off by up to 1.2 hundredths of the width when taken as nearly normal.
    for found, off in ((quick, 0.012), (drawn, 0.005)):
        three = [float(one) for one in (found.low, found.likely, found.high)]
        assert three == pytest.approx(expected, abs=off * width)


def test_folding_one_distribution_gives_its_own_percentiles() -> None:
    amount = points("100", "120", "200")

    assert of_sum([amount]) == pytest.approx(pert(amount).ppf(SHARES), abs=0.05)
