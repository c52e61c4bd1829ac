"""The plan covers every part, in order, the same each time, and never for more than need be."""

from decimal import Decimal
from random import Random

from catalogue_factory import (
    conduit,
    conduit_part,
    index,
    item,
    part,
    wire,
    wire_part,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.catalogue.match import index_items
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.records import Item, PurchasePlan
from estimator.takeoff.records import Part

PARTS: tuple[Part, ...] = (
    wire_part(*["21.5"] * 6, *["18.5"] * 5, "36"),
    conduit_part("18", "30"),
    part("37"),
    part("3", "locknut", (("trade_size", "3/4"), ("style", "steel"))),
)
ITEMS: tuple[Item, ...] = (
    wire("W1", "0.55"),
    wire("W2", "0.38", "100"),
    wire("W3", "0.38", "100"),
    wire("W4", "0.34", "500"),
    conduit("C1", "0.60"),
    conduit("C2", "0.58", "100", 10),
    item("B1", "0.20"),
    item("B2", "0.15", "10"),
    item("B3", "0.15", "10", supplier="Another Supply"),
    item("B4", "0.09", "100"),
)


def money(plan: PurchasePlan) -> Decimal:
    return sum(
        (each.item.pack_price * each.packs for p in plan.purchases for each in p.bought),
        Decimal(0),
    )


def test_purchases_stand_in_the_order_of_the_parts() -> None:
    plan = plan_purchase(PARTS, index(*ITEMS))

    assert tuple(purchase.part for purchase in plan.purchases) == PARTS
    assert [purchase.match for purchase in plan.purchases] == ["exact"] * 3 + ["unpriced"]


def test_a_part_without_items_is_unpriced() -> None:
    (purchase,) = plan_purchase([part("3")], index()).purchases

    assert (purchase.match, purchase.bought, purchase.leftover) == ("unpriced", (), Decimal(0))


def test_what_is_bought_is_whole_packs_that_sum_to_need_and_leftover() -> None:
    for purchase in plan_purchase(PARTS, index(*ITEMS)).purchases:
        for each in purchase.bought:
            assert each.packs > 0
            assert each.quantity == each.packs * each.item.pack
        if purchase.bought:
            total = sum(each.quantity for each in purchase.bought)
            assert total - purchase.leftover == purchase.part.quantity


def test_the_largest_pack_stands_first() -> None:
    for purchase in plan_purchase(PARTS, index(*ITEMS)).purchases:
        packs = [each.item.pack for each in purchase.bought]
        assert packs == sorted(packs, reverse=True)


def test_the_order_of_items_changes_nothing() -> None:
    expected = plan_purchase(PARTS, index(*ITEMS))
    random = Random(7)

    for _ in range(20):
        shuffled = random.sample(ITEMS, len(ITEMS))
        assert plan_purchase(PARTS, index(*shuffled)) == expected


def test_an_index_serves_many_estimates_alike() -> None:
    made = index(*ITEMS)

    assert plan_purchase(PARTS, made) == plan_purchase(PARTS, made)


def test_findings_of_the_index_are_findings_of_the_plan() -> None:
    made = index(item("A", "0.20"), item("B", "0.10", currency="CAD"))

    plan = plan_purchase([part("1")], made)

    assert plan.findings == made.findings != ()


def test_no_lists_at_all_leave_every_part_unpriced() -> None:
    plan = plan_purchase(PARTS, index_items([], "USD"))

    assert {purchase.match for purchase in plan.purchases} == {"unpriced"}
    assert plan.optimal


@settings(deadline=None, max_examples=100)
@given(
    st.sets(st.sampled_from(range(len(ITEMS))), min_size=1),
    st.sampled_from(range(len(ITEMS))),
)
def test_one_more_item_never_costs_more(chosen: set[int], added: int) -> None:
    before = [ITEMS[n] for n in sorted(chosen)]
    less = plan_purchase(PARTS, index(*before))
    priced = [p.part for p in less.purchases if p.bought]

    more = plan_purchase(priced, index(*before, ITEMS[added]))

    assert money(more) <= money(less)
