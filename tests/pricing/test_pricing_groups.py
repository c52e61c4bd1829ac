"""Profit, discount and rounding of the groups of a price."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pricing_factory import bushing, group, item_for, job, price, price_of_materials

from estimator.pricing.groups import profit_on, spread
from estimator.pricing.records import Price

CENTS = st.integers(0, 500_000).map(lambda cents: Decimal(cents) / 100)


@pytest.mark.parametrize(
    ("margin", "profit"),
    [("0", "0.00"), ("25", "25.00"), ("50", "75.00"), ("99", "7425.00"), ("99.9", "74925.00")],
)
def test_margin_is_a_share_of_the_price(margin: str, profit: str) -> None:
    terms = job(margin_percent=Decimal(margin)).terms

    assert profit_on(Decimal("75.00"), terms) == Decimal(profit)


def test_a_margin_of_all_the_price_is_an_error_and_no_crash() -> None:
    found = price_of_materials("75.00", job(margin_percent=Decimal(100)))

    (finding,) = found.findings
    assert (finding.severity, finding.code) == ("error", "MARGIN_NOT_POSSIBLE")
    assert finding.where == "/terms/margin_percent"
    assert found.total == Decimal("75.00")


@pytest.mark.parametrize(
    ("terms", "kind"),
    [
        ({"markup_percent": Decimal(10)}, "markup"),
        ({"margin_percent": Decimal(10)}, "margin"),
        ({}, "none"),
    ],
)
def test_says_which_profit_was_taken(terms: dict[str, Decimal], kind: str) -> None:
    assert price_of_materials("75.00", job(**terms)).profit_kind == kind


@pytest.mark.parametrize(
    ("amount", "over", "shares"),
    [
        ("10.00", ["1.00", "1.00", "1.00"], ["1.00", "1.00", "1.00"]),
        ("1.00", ["1.00", "1.00", "1.00"], ["0.34", "0.33", "0.33"]),
        ("0.02", ["1.00", "1.00", "1.00"], ["0.01", "0.01", "0.00"]),
        ("1.00", ["10.00", "0.00", "20.00"], ["0.33", "0.00", "0.67"]),
        ("0.01", ["1.00", "3.00", "2.00"], ["0.00", "0.01", "0.00"]),
        ("0.00", ["1.00", "2.00"], ["0.00", "0.00"]),
        ("5.00", ["0.00", "0.00"], ["0.00", "0.00"]),
    ],
)
def test_spreads_to_the_largest_remainders(amount: str, over: list[str], shares: list[str]) -> None:
    found = spread(Decimal(amount), [Decimal(each) for each in over])

    assert found == tuple(Decimal(share) for share in shares)


@given(CENTS, st.lists(CENTS, min_size=1, max_size=4))
def test_shares_sum_to_the_amount_and_stay_within_bounds(
    amount: Decimal, over: list[Decimal]
) -> None:
    shares = spread(amount, over)

    assert sum(shares) == min(amount, sum(over))
    assert all(0 <= share <= whole for share, whole in zip(shares, over, strict=True))


def test_a_discount_of_the_whole_price_leaves_nothing_and_is_no_error() -> None:
    found = price_of_materials("75.00", job(discount=Decimal("75.00")))

    assert found.total == Decimal("0.00")
    assert found.findings == ()


def test_a_discount_above_the_price_is_capped_and_an_error() -> None:
    found = price_of_materials("75.00", job(discount=Decimal("75.01")))

    (finding,) = found.findings
    assert (finding.severity, finding.code) == ("error", "DISCOUNT_ABOVE_PRICE")
    assert "The discount of 75.01 is more than the price of 75" in finding.message
    assert found.total == Decimal("0.00")
    assert group(found, "materials").discount == Decimal("75.00")


def test_an_unknown_permit_fee_is_left_out_and_told() -> None:
    found = price_of_materials("75.00", job(permit_fee=None))

    (finding,) = found.findings
    assert (finding.severity, finding.code) == ("warning", "PERMIT_FEE_UNKNOWN")
    assert finding.where == "/terms/permit_fee"
    assert group(found, "permit").cost == Decimal("0.00")
    assert found.total == Decimal("75.00")


def test_the_permit_fee_is_passed_on_at_cost() -> None:
    found = price_of_materials(
        "75.00",
        job(
            permit_fee=Decimal("85.00"),
            markup_percent=Decimal(25),
            overhead_percent=Decimal(10),
            contingency_percent=Decimal(5),
        ),
    )

    permit = group(found, "permit")
    assert (permit.overhead, permit.contingency, permit.profit) == (0, 0, 0)
    assert permit.net == Decimal("85.00")


def same_price_by_hand(found: Price) -> None:
    """The sums that anybody can add up again."""
    amounts = [line.amount for line in found.lines if line.amount is not None]
    assert group(found, "materials").cost == sum(amounts)
    for each in found.groups:
        built = each.cost + each.overhead + each.contingency + each.profit
        assert each.net == built - each.discount
        assert each.net >= 0
        assert each.taxable or each.sales_tax == 0
    assert found.total == sum(each.net + each.sales_tax for each in found.groups)
    for each in found.groups:
        for figure in (each.cost, each.overhead, each.profit, each.discount, each.sales_tax):
            assert figure == round(figure, 2)


PERCENT = st.integers(0, 4000).map(lambda n: Decimal(n) / 100)


@given(
    st.lists(st.tuples(st.integers(1, 60), st.integers(1, 99_999)), max_size=6),
    PERCENT,
    PERCENT,
    PERCENT,
    CENTS,
    st.sets(st.sampled_from(["materials", "labour", "permit"])),
    st.booleans(),
)
def test_every_price_adds_up(
    lines: list[tuple[int, int]],
    markup: Decimal,
    overhead: Decimal,
    tax: Decimal,
    discount: Decimal,
    taxable: set[str],
    as_margin: bool,
) -> None:
    of = job(
        labour={"hourly_rate": None, "wage": Decimal("34.00"), "burden_percent": overhead},
        markup_percent=None if as_margin else markup,
        margin_percent=markup if as_margin else None,
        overhead_percent=overhead,
        contingency_percent=Decimal(5),
        sales_tax_percent=tax,
        taxable=tuple(taxable),
        permit_fee=Decimal("85.00"),
        discount=discount,
        deposit_percent=Decimal(30),
    )
    sizes = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2"]
    parts = [bushing(size, str(count)) for size, (count, _) in zip(sizes, lines, strict=False)]
    items = [
        item_for(part, str(Decimal(price) / 10_000), "12", f"A{n}")
        for n, (part, (_, price)) in enumerate(zip(parts, lines, strict=True))
    ]

    same_price_by_hand(price(of, parts, items, "7.375"))


def test_the_job_is_not_changed_by_pricing_it() -> None:
    of = job(markup_percent=Decimal(25))
    before = replace(of)

    price_of_materials("75.00", of)

    assert of == before
