"""The purchase plan as JSON-ready objects."""

from decimal import Decimal
from typing import Any

from estimator.catalogue.records import KitBought, PurchasePlan, SupplierOrder
from estimator.money import ZERO
from estimator.pricing.records import Price
from estimator.units import plain

Json = dict[str, Any]


def plan_document(plan: PurchasePlan, price: Price) -> Json:
    """By supplier, with what comes from stock and from kits.

    goods and cost are before lines are rounded to the cent; amount adds printed lines.
    """
    orders = plan.orders
    cost = sum([order.goods + order.delivery_fee for order in orders], Decimal(0))
    return {
        "optimal": plan.optimal,
        "cost": plain(cost),
        "lower_bound": plain(cost - plan.gap),
        "gap": plain(plan.gap),
        "suppliers": [_supplier(order, price) for order in orders],
        "from_stock": [
            {"part": place, "quantity": plain(purchase.from_stock), "unit": purchase.part.unit}
            for place, purchase in enumerate(plan.purchases)
            if purchase.from_stock
        ],
        "kits": [_kit(kit) for kit in plan.kits],
    }


def _supplier(order: SupplierOrder, price: Price) -> Json:
    free = order.free_delivery_from
    amounts = [line.amount for line in price.lines if line.supplier == order.supplier]
    return {
        "supplier": order.supplier,
        "lines": order.lines,
        "amount": str(sum([each for each in amounts if each is not None], ZERO)),
        "goods": plain(order.goods),
        "minimum_order": plain(order.minimum_order),
        "delivery_fee": plain(order.delivery_fee),
        "free_delivery_from": None if free is None else plain(free),
    }


def _kit(kit: KitBought) -> Json:
    return {
        "supplier": kit.item.supplier,
        "item": kit.item.number,
        "item_description": kit.item.description,
        "packs": kit.packs,
        "serves": [
            {"part": place, "quantity": plain(taken), "left_over": plain(left)}
            for place, taken, left in kit.serves
        ],
    }
