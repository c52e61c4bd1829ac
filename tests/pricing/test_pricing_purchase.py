"""Delivery, kits, stock and quantity breaks in the lines and the cost of materials."""

from dataclasses import replace
from decimal import Decimal

from pricing_factory import CURRENCY, bushing, group, item_for, job

from estimator.catalogue.match import index_items
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.records import Covered, Item, PriceBreak, PriceList, SupplierTerms
from estimator.job.records import StockItem
from estimator.pricing.price import price_estimate
from estimator.pricing.records import Price
from estimator.published.sources import load_sources
from estimator.takeoff.records import Part, TakeOff

SMALL, LARGE = bushing("3/4", "10"), bushing("1", "4")
TERMS = SupplierTerms("Invented Supply", Decimal(0), Decimal("7.50"), Decimal("50"), CURRENCY)


def priced(
    parts: tuple[Part, ...],
    items: tuple[Item, ...],
    terms: tuple[SupplierTerms, ...] = (),
    stock: tuple[StockItem, ...] = (),
    **on: object,
) -> Price:
    prices = PriceList("list.csv", "Invented Supply", "0" * 64, items, len(items), (), 0)
    plan = plan_purchase(parts, index_items([prices], CURRENCY), terms=terms, stock=stock)
    return price_estimate(job(**on), TakeOff(parts, (), ()), plan)


def kit_of(price: str, *covers: Covered) -> Item:
    return replace(item_for(SMALL, price, number="KIT"), kind="kit", attributes=(), covers=covers)


def test_a_delivery_fee_is_a_cost_of_materials_with_profit_and_tax_on_it() -> None:
    found = priced(
        (SMALL,),
        (item_for(SMALL, "2.00"),),
        (TERMS,),
        markup_percent=Decimal(20),
        sales_tax_percent=Decimal(10),
        taxable=("materials",),
    )

    (delivery,) = found.deliveries
    assert (delivery.goods, delivery.fee) == (20, Decimal("7.50"))
    assert group(found, "materials").cost == Decimal("27.50")
    assert group(found, "materials").net == Decimal("33.00")
    assert found.total == Decimal("36.30")


def test_a_delivery_that_is_free_is_shown_and_costs_nothing() -> None:
    found = priced((SMALL,), (item_for(SMALL, "5.00"),), (TERMS,))

    assert [each.fee for each in found.deliveries] == [0]
    assert found.total == Decimal("50.00")


def test_the_reason_says_why_delivery_is_taxed_as_materials_are() -> None:
    with_fee = priced((SMALL,), (item_for(SMALL, "2.00"),), (TERMS,))
    without = priced((SMALL,), (item_for(SMALL, "2.00"),))

    told = [reason for reason in with_fee.because if "Delivery is what it takes" in reason.text]
    assert len(told) == 1
    assert all(reason.source in load_sources() for reason in with_fee.because)
    assert not any("Delivery" in reason.text for reason in without.because)


def test_a_line_is_priced_at_the_break_that_it_reaches() -> None:
    broken = replace(item_for(SMALL, "2.00"), breaks=(PriceBreak(10, Decimal("1.50")),))

    (line,) = priced((SMALL,), (broken,)).lines

    assert (line.unit_price, line.amount) == (Decimal("1.50"), Decimal("15.00"))


def test_what_is_at_hand_has_a_line_that_costs_nothing() -> None:
    at_hand = StockItem(SMALL.kind, SMALL.attributes, Decimal(4), "ea")

    found = priced((SMALL,), (item_for(SMALL, "2.00"),), stock=(at_hand,))

    bought, stock = found.lines
    assert (bought.quantity_needed, bought.amount) == (6, Decimal("12.00"))
    assert (stock.match, stock.quantity_needed, stock.amount) == ("stock", 4, 0)
    assert (found.complete, found.total) == (True, Decimal("12.00"))


def test_a_part_that_is_all_at_hand_leaves_the_price_complete() -> None:
    at_hand = StockItem(SMALL.kind, SMALL.attributes, Decimal(40), "ea")

    found = priced((SMALL,), (), stock=(at_hand,))

    assert [(line.match, line.quantity_needed) for line in found.lines] == [("stock", 10)]
    assert (found.complete, found.unpriced, found.total) == (True, 0, 0)


def test_a_kit_stands_on_a_line_of_its_own_and_its_parts_cost_nothing_more() -> None:
    kit = kit_of(
        "9.00",
        Covered(SMALL.kind, SMALL.attributes, Decimal(12)),
        Covered(LARGE.kind, LARGE.attributes, Decimal(2)),
    )

    found = priced((SMALL, LARGE), (kit, item_for(SMALL, "2.00"), item_for(LARGE, "1.00")))

    assert [(line.match, line.item, line.quantity_needed, line.amount) for line in found.lines] == [
        ("exact", "KIT", 1, Decimal("9.00")),
        ("kit", "KIT", 10, 0),
        ("exact", "A", 2, Decimal("2.00")),
        ("kit", "KIT", 2, 0),
    ]
    assert found.lines[0].cost_code == SMALL.cost_code
    assert found.total == Decimal("11.00")


def test_a_kit_is_charged_whole_when_priced_by_use() -> None:
    kit = kit_of("9.00", Covered(SMALL.kind, SMALL.attributes, Decimal(20)))

    found = priced((SMALL,), (kit,), price_by="use")

    assert found.total == Decimal("9.00")
