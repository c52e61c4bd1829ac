"""Goods in packs are bought at least money, as trying every purchase shows."""

from collections.abc import Sequence
from decimal import Decimal
from itertools import product
from math import ceil

import pytest
from catalogue_factory import index, item, part
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.catalogue import packs
from estimator.catalogue.match import offers_for
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.records import Item, Purchase

Worth = tuple[Decimal, Decimal, int]


def buy(quantity: str, *items: Item) -> Purchase:
    return plan_purchase([part(quantity)], index(*items)).purchases[0]


def bought(purchase: Purchase) -> list[tuple[str, int]]:
    return [(each.item.number, each.packs) for each in purchase.bought]


def worth(purchase: Purchase) -> Worth:
    return (
        sum((each.item.pack_price * each.packs for each in purchase.bought), Decimal(0)),
        purchase.leftover,
        sum(each.packs for each in purchase.bought),
    )


def best_by_trying(need: Decimal, items: Sequence[Item]) -> Worth:
    """Every count of every pack up to what would serve alone."""
    return min(
        (
            sum((i.pack_price * n for i, n in zip(items, counts, strict=True)), Decimal(0)),
            covered - need,
            sum(counts),
        )
        for counts in product(*(range(ceil(need / each.pack) + 1) for each in items))
        if (covered := sum((i.pack * n for i, n in zip(items, counts, strict=True)), Decimal(0)))
        >= need
    )


@pytest.mark.parametrize(
    ("need", "expected"),
    [
        ("1", [("ONE", 1)]),
        ("7", [("ONE", 7)]),
        ("8", [("TEN", 1)]),
        ("10", [("TEN", 1)]),
        ("11", [("TEN", 1), ("ONE", 1)]),
        ("37", [("TEN", 3), ("ONE", 7)]),
        ("58", [("TEN", 6)]),
        ("60", [("TEN", 6)]),
        ("61", [("HUNDRED", 1)]),
        ("101", [("HUNDRED", 1), ("ONE", 1)]),
    ],
)
def test_buys_the_cheapest_mix_of_packs(need: str, expected: list[tuple[str, int]]) -> None:
    purchase = buy(
        need,
        item("ONE", "0.20"),
        item("TEN", "0.15", "10"),
        item("HUNDRED", "0.09", "100"),
    )

    assert bought(purchase) == expected
    assert purchase.optimal
    assert purchase.match == "exact"


def test_of_equally_cheap_purchases_the_least_leftover_counts_first() -> None:
    purchase = buy("9", item("TEN", "0.90", "10"), item("NINE", "1.00", "9"))

    assert bought(purchase) == [("NINE", 1)]


def test_then_the_fewest_packs_count() -> None:
    purchase = buy("12", item("ONE", "1.00"), item("SIX", "1.00", "6"), item("FOUR", "1.00", "4"))

    assert bought(purchase) == [("SIX", 2)]


def test_then_the_lowest_item_number_counts() -> None:
    purchase = buy("12", item("Z", "1.00", "6"), item("M", "1.00", "6"), item("Q", "1.00", "6"))

    assert bought(purchase) == [("M", 2)]


def test_a_part_of_a_pack_needs_the_whole_pack() -> None:
    purchase = buy("2.5", item("A", "0.20"))

    assert bought(purchase) == [("A", 3)]
    assert purchase.leftover == Decimal("0.5")


def test_a_search_out_of_budget_says_so_and_still_covers_the_need(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(packs, "NODE_BUDGET", 2)
    need, items = "59", [item("A", "1.00", "7"), item("B", "1.01", "5"), item("C", "1.02", "3")]

    plan = plan_purchase([part(need)], index(*items))

    assert not plan.optimal
    assert [finding.code for finding in plan.findings] == ["PURCHASE_NOT_PROVEN"]
    assert plan.purchases[0].leftover >= 0


PACKS = st.sampled_from(["1", "2", "3", "5", "10", "12", "0.5", "2.5", "25"])
PRICES = st.sampled_from(["0.1000", "0.1234", "0.1500", "0.2000", "0.3333", "1.0000"])
ITEMS = st.lists(st.tuples(PACKS, PRICES), min_size=1, max_size=3).map(
    lambda entries: [item(f"I{n}", price, pack) for n, (pack, price) in enumerate(entries)]
)
NEEDS = st.integers(1, 30).map(Decimal) | st.sampled_from([Decimal("2.5"), Decimal("7.25")])


@settings(deadline=None, max_examples=200)
@given(NEEDS, ITEMS)
def test_no_other_purchase_is_better(need: Decimal, items: list[Item]) -> None:
    purchase = buy(str(need), *items)

    assert worth(purchase) == best_by_trying(need, items)
    assert purchase.optimal


def test_large_needs_of_many_packs_are_proven() -> None:
    sizes = ["1", "5", "10", "25", "50", "100", "250", "500", "1000"]
    items = [item(f"I{size}", str(Decimal("0.30") - Decimal(n) / 100), size)
             for n, size in enumerate(sizes)]  # fmt: skip
    made = index(*items)

    for need in range(1, 2600, 37):
        choice = packs.cheapest_packs(need * 10_000, offers_for(part("1"), made))

        assert choice.optimal
