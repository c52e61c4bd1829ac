"""What holds for every job: order of the range, and what dearer or slower work does."""

from decimal import Decimal

from compare_factory import TOOLS, compare, make_job, make_take_off
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.compare.records import Way

rates = st.decimals("1", "400", places=2)
percents = st.integers(0, 30)
few = settings(max_examples=40, deadline=None)


def figures(way: Way) -> tuple[Decimal, ...]:
    return (way.whole_cost, way.low, way.likely, way.high)


@few
@given(rates, percents, percents, st.decimals("0.5", "8", places=1), rates)
def test_low_likely_and_high_are_in_order(
    rate: Decimal, markup: int, tax: int, speed: Decimal, value: Decimal
) -> None:
    job = make_job(
        labour={"hourly_rate": str(rate)},
        terms={"markup_percent": markup, "sales_tax_percent": tax},
        comparison={"own_speed_factor": str(speed), "own_hour_value": str(value)},
    )

    for way in compare(job).values():
        assert way.low <= way.likely <= way.high
        assert way.hours_low <= way.hours <= way.hours_high
        for cost in way.costs:
            assert cost.low <= cost.paid <= cost.high


@few
@given(rates, rates)
def test_a_dearer_own_hour_never_makes_own_work_cheaper(one: Decimal, other: Decimal) -> None:
    less, more = sorted((one, other))

    cheap = compare(make_job(comparison={"own_hour_value": str(less)}))["own"]
    dear = compare(make_job(comparison={"own_hour_value": str(more)}))["own"]

    assert all(a <= b for a, b in zip(figures(cheap), figures(dear), strict=True))
    assert cheap.break_even_hour_value == dear.break_even_hour_value


@few
@given(rates)
def test_at_the_break_even_value_both_ways_cost_the_same(rate: Decimal) -> None:
    job = make_job(labour={"hourly_rate": str(rate)})
    worth = compare(job)["own"].break_even_hour_value
    assert worth is not None
    if worth <= 0:
        return

    ways = compare(
        make_job(labour={"hourly_rate": str(rate)}, comparison={"own_hour_value": str(worth)})
    )

    # The value is rounded to the cent, so over the hours it may be off by some cents.
    off = abs(ways["own"].whole_cost - ways["hire"].whole_cost)
    assert off <= ways["own"].hours * Decimal("0.01")


@few
@given(rates, rates)
def test_a_dearer_contractor_never_makes_hiring_cheaper(one: Decimal, other: Decimal) -> None:
    less, more = sorted((one, other))

    cheap = compare(make_job(labour={"hourly_rate": str(less)}))
    dear = compare(make_job(labour={"hourly_rate": str(more)}))

    assert cheap["hire"].cash_cost <= dear["hire"].cash_cost
    assert cheap["own"].cash_cost == dear["own"].cash_cost
    assert cheap["own"].hours == dear["own"].hours


@few
@given(st.integers(0, len(TOOLS)))
def test_fewer_tools_to_get_never_cost_more(count: int) -> None:
    some = compare(taken=make_take_off(tools=TOOLS[:count]))["own"]
    every = compare(taken=make_take_off(tools=TOOLS))["own"]

    assert some.cash_cost <= every.cash_cost
