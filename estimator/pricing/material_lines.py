"""The printed lines of materials: what is bought for each part, and what is charged for it."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Literal

from estimator.catalogue.records import Bought, KitBought, Purchase, PurchasePlan, ServedBy
from estimator.money import ZERO, to_cents
from estimator.pricing.records import Delivery, PriceLine

_NOTHING = Decimal(0)
# Cost code of what belongs to several kinds of cost at once.
UNSORTED = "unsorted"


def material_lines(
    plan: PurchasePlan, price_by: Literal["purchase", "use"]
) -> tuple[PriceLine, ...]:
    """A line for each item bought for a part, and one without a price for an unpriced part.

    A part bought in several items is used up smallest pack first, so what is left over lies
    in the largest pack; the quantities needed on its lines sum to the quantity of the part,
    with a line of no cost for what is at hand and for what a kit holds. A kit has a line
    before its first part; kits are always charged whole.
    """
    lines: list[PriceLine] = []
    for position, purchase in enumerate(plan.purchases):
        if plan.kits:
            lines += _kit_lines(position, plan)
        if purchase.match == "unpriced":
            lines.append(_unpriced(position, purchase))
            continue
        needed = _shares(purchase)
        for bought, quantity in zip(purchase.bought, needed, strict=True):
            lines.append(_line(position, purchase, bought, quantity, price_by))
        if purchase.from_stock or purchase.from_kits:
            lines += _served(position, plan)
    return tuple(lines)


def delivery_lines(plan: PurchasePlan) -> tuple[Delivery, ...]:
    """The delivery of each supplier that asks a fee for it, due or not."""
    if not plan.terms:
        return ()
    return tuple(
        Delivery(
            supplier=order.supplier,
            goods=order.goods,
            fee=to_cents(order.delivery_fee),
            terms_fee=order.terms_fee,
            free_from=order.free_delivery_from,
        )
        for order in plan.orders
        if order.terms_fee
    )


def _kit_lines(position: int, plan: PurchasePlan) -> Iterator[PriceLine]:
    for kit in plan.kits:
        if kit.serves[0][0] != position:
            continue
        codes = {plan.purchases[place].part.cost_code for place, _, _ in kit.serves}
        quantity = kit.packs * kit.item.pack
        yield PriceLine(
            part=position,
            description=f"Kit: {kit.item.description}",
            item=kit.item.number,
            item_description=kit.item.description,
            supplier=kit.item.supplier,
            pack=kit.item.pack,
            packs=kit.packs,
            quantity_needed=quantity,
            quantity_bought=quantity,
            leftover=_NOTHING,
            unit=kit.item.unit,
            unit_price=kit.unit_price,
            amount=to_cents(kit.unit_price * quantity),
            price_basis=kit.item.price_basis,
            match="exact",
            cost_code=codes.pop() if len(codes) == 1 else UNSORTED,
        )


def _served(position: int, plan: PurchasePlan) -> Iterator[PriceLine]:
    purchase = plan.purchases[position]
    if purchase.from_stock:
        yield _at_hand(position, purchase, "stock", purchase.from_stock, None)
    for kit in plan.kits:
        for place, taken, _ in kit.serves:
            if place == position and taken:
                yield _at_hand(position, purchase, "kit", taken, kit)


def _at_hand(
    position: int, purchase: Purchase, match: ServedBy, quantity: Decimal, kit: KitBought | None
) -> PriceLine:
    part = purchase.part
    return PriceLine(
        part=position,
        description=part.description,
        item="" if kit is None else kit.item.number,
        item_description="from stock" if kit is None else f"in {kit.item.description}",
        supplier="" if kit is None else kit.item.supplier,
        pack=None,
        packs=0,
        quantity_needed=quantity,
        quantity_bought=_NOTHING,
        leftover=_NOTHING,
        unit=part.unit,
        unit_price=None,
        amount=ZERO,
        price_basis="",
        match=match,
        cost_code=part.cost_code,
    )


def _shares(purchase: Purchase) -> list[Decimal]:
    left = purchase.part.quantity
    if purchase.from_stock or purchase.from_kits:
        left -= purchase.from_stock + purchase.from_kits
    if len(purchase.bought) == 1:
        return [left]
    shares: list[Decimal] = []
    for bought in reversed(purchase.bought):
        share = min(left, bought.quantity)
        shares.append(share)
        left -= share
    return shares[::-1]


def _line(
    position: int, purchase: Purchase, bought: Bought, needed: Decimal, price_by: str
) -> PriceLine:
    item, part = bought.item, purchase.part
    charged = bought.quantity if price_by == "purchase" else needed
    return PriceLine(
        part=position,
        description=part.description,
        item=item.number,
        item_description=item.description,
        supplier=item.supplier,
        pack=item.pack,
        packs=bought.packs,
        quantity_needed=needed,
        quantity_bought=bought.quantity,
        leftover=bought.quantity - needed,
        unit=part.unit,
        unit_price=bought.unit_price,
        amount=to_cents(bought.unit_price * charged),
        price_basis=item.price_basis,
        match=purchase.match,
        cost_code=part.cost_code,
        score=purchase.score,
        reasons=purchase.reasons,
    )


def _unpriced(position: int, purchase: Purchase) -> PriceLine:
    part = purchase.part
    return PriceLine(
        part=position,
        description=part.description,
        item="",
        item_description="",
        supplier="",
        pack=None,
        packs=0,
        quantity_needed=part.quantity,
        quantity_bought=_NOTHING,
        leftover=_NOTHING,
        unit=part.unit,
        unit_price=None,
        amount=None,
        price_basis="",
        match="unpriced",
        cost_code=part.cost_code,
    )
