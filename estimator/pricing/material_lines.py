"""The printed lines of materials: what is bought for each part, and what is charged for it."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from estimator.catalogue.records import Bought, Purchase
from estimator.money import to_cents
from estimator.pricing.records import PriceLine

_NOTHING = Decimal(0)


def material_lines(
    purchases: Sequence[Purchase], price_by: Literal["purchase", "use"]
) -> tuple[PriceLine, ...]:
    """A line for each item bought for a part, and one without a price for an unpriced part.

    A part bought in several items is used up smallest pack first, so what is left over lies
    in the largest pack; the quantities needed on its lines sum to the quantity of the part.
    """
    lines: list[PriceLine] = []
    for position, purchase in enumerate(purchases):
        if not purchase.bought:
            lines.append(_unpriced(position, purchase))
            continue
        needed = _shares(purchase)
        for bought, quantity in zip(purchase.bought, needed, strict=True):
            lines.append(_line(position, purchase, bought, quantity, price_by))
    return tuple(lines)


def _shares(purchase: Purchase) -> list[Decimal]:
    if len(purchase.bought) == 1:
        return [purchase.part.quantity]
    left = purchase.part.quantity
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
        unit_price=item.unit_price,
        amount=to_cents(item.unit_price * charged),
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
