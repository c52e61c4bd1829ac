"""Ranges of sums against closed forms and against a seeded simulation."""

from decimal import Decimal
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.compare.simulation import simulated_range
from estimator.compare.three_point import NINETIETH, ThreePoint, in_order, range_of_sum

DRAWS, SEED = 40_000, 20251001
SUMS = [
    [("100", "120", "200")],
    [("0", "1000", "1000")],
    [("950", "1000", "1150"), ("10", "20", "70"), ("180", "250", "400")],
    [("50", "50", "90"), ("50", "60", "90"), ("30", "80", "90"), ("85", "85", "85")],
]
money = st.decimals("0", "100000", places=2)
three_points = st.tuples(money, money, money).map(lambda found: ThreePoint(*sorted(found)))


def points(*texts: str) -> ThreePoint:
    return ThreePoint(*(Decimal(text) for text in texts))


def triangular_percentile(amount: ThreePoint, share: float) -> float:
    """Closed form: the inverse of the triangular distribution function."""
    low, likely, high = float(amount.low), float(amount.likely), float(amount.high)
    at_mode = (likely - low) / (high - low)
    if share <= at_mode:
        return low + sqrt(share * (high - low) * (likely - low))
    return high - sqrt((1 - share) * (high - low) * (high - likely))


def test_mean_and_variance_of_one_amount_worked_out_by_hand() -> None:
    amount = points("1", "2", "9")

    # (1 + 8 + 9) / 6 and (3 - 1)(9 - 3) / 7
    assert amount.moments().mean == 3
    assert amount.moments().variance == Decimal(12) / 7


def test_the_variance_is_that_of_the_beta_distribution() -> None:
    low, likely, high = 100.0, 120.0, 200.0
    alpha = 1 + 4 * (likely - low) / (high - low)
    beta = 1 + 4 * (high - likely) / (high - low)
    closed = (high - low) ** 2 * alpha * beta / ((alpha + beta) ** 2 * (alpha + beta + 1))

    assert float(points("100", "120", "200").moments().variance) == pytest.approx(closed)


def test_the_third_moment_is_that_of_the_beta_distribution() -> None:
    low, likely, high = 100.0, 120.0, 200.0
    alpha = 1 + 4 * (likely - low) / (high - low)
    beta = 1 + 4 * (high - likely) / (high - low)
    closed = (high - low) ** 3 * 2 * alpha * beta * (beta - alpha) / (6**3 * 7 * 8)

    assert float(points("100", "120", "200").moments().third) == pytest.approx(closed)


def test_a_symmetric_sum_worked_out_by_hand() -> None:
    found = range_of_sum([points("0", "30", "60"), points("100", "100", "100")])

    # Variance 30 x 30 / 7 = 128.571; 1.28155 x 11.3389 = 14.53.
    assert found == points("115.47", "130.00", "144.53")


def test_fixed_amounts_have_no_range() -> None:
    assert range_of_sum([points("5", "5", "5"), points("7.50", "7.50", "7.50")]) == points(
        "12.50", "12.50", "12.50"
    )


def test_nothing_sums_to_nothing() -> None:
    assert range_of_sum([]) == points("0.00", "0.00", "0.00")


def test_the_deviations_are_those_of_the_ninetieth_percentile() -> None:
    assert Decimal("1.28155156") < NINETIETH < Decimal("1.28155157")


@pytest.mark.parametrize("amounts", SUMS)
def test_the_quick_range_is_near_that_of_a_simulation(
    amounts: list[tuple[str, str, str]],
) -> None:
    inputs = [points(*amount) for amount in amounts]
    width = float(sum((one.high - one.low for one in inputs), Decimal(0)))

    quick = range_of_sum(inputs)
    drawn = simulated_range(inputs, draws=DRAWS, seed=SEED)

    for ours, theirs in zip(
        (quick.low, quick.likely, quick.high), (drawn.low, drawn.likely, drawn.high), strict=True
    ):
        assert abs(float(ours - theirs)) <= 0.02 * width


@pytest.mark.parametrize("amount", [("100", "120", "200"), ("0", "9", "10"), ("3", "3", "9")])
def test_the_simulation_draws_what_the_closed_form_says(amount: tuple[str, str, str]) -> None:
    one = points(*amount)

    drawn = simulated_range([one], draws=DRAWS, seed=SEED, shape="triangular")

    width = float(one.high - one.low)
    for share, found in ((0.1, drawn.low), (0.5, drawn.likely), (0.9, drawn.high)):
        assert float(found) == pytest.approx(triangular_percentile(one, share), abs=0.01 * width)


def test_the_same_seed_gives_the_same_range() -> None:
    amounts = [points("100", "120", "200")]

    first, again, other = (simulated_range(amounts, draws=500, seed=seed) for seed in (1, 1, 2))

    assert first == again
    assert first != other


def test_fewer_than_ten_draws_are_refused() -> None:
    simulated_range([points("1", "2", "3")], draws=10, seed=1)

    with pytest.raises(ValueError, match="9 draws give no tenths"):
        simulated_range([points("1", "2", "3")], draws=9, seed=1)


def test_points_out_of_order_are_widened_to_the_likely_one() -> None:
    assert in_order(Decimal(5), Decimal(4), Decimal(3)) == points("4", "4", "4")
    assert in_order(Decimal(1), Decimal(4), Decimal(9)) == points("1", "4", "9")


@given(st.lists(three_points, max_size=6))
def test_a_range_is_in_order_and_within_its_extremes(amounts: list[ThreePoint]) -> None:
    found = range_of_sum(amounts)

    assert found.low <= found.likely <= found.high
    assert sum((one.low for one in amounts), Decimal(0)) <= found.low
    assert found.high <= sum((one.high for one in amounts), Decimal(0))
