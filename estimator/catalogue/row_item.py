"""From what a row sells, its price and its terms to the item."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.catalogue.header import Column
from estimator.catalogue.item_terms import ItemTerms
from estimator.catalogue.list_rules import ListRules
from estimator.catalogue.price_breaks import (
    ANY_QUANTITY,
    OrderTerms,
    PackMeasure,
    read_order_terms,
)
from estimator.catalogue.price_terms import Money
from estimator.catalogue.records import Item, PriceBasis
from estimator.catalogue.row_faults import RowFaults
from estimator.catalogue.row_goods import Goods
from estimator.catalogue.units_of_measure import per_unit
from estimator.money import to_unit_price


@dataclass(frozen=True, slots=True)
class Offer:
    """What a row offers; basis: what the price is for. identity: supplier and item number."""

    row: int
    identity: tuple[str, str]
    description: str
    goods: Goods
    basis: PriceBasis
    money: Money
    terms: ItemTerms
    currency: str


def make_item(
    offer: Offer, cell: Mapping[Column, str], rules: ListRules, *, has_order_terms: bool
) -> Item:
    """The item that a row offers.

    has_order_terms: the list has columns for breaks, minimum or increment. Raises RowFaults.
    """
    unit_price = to_unit_price(per_unit(offer.money.net, offer.basis, offer.goods.pack))
    if unit_price == 0:
        raise RowFaults.of(
            "price", "comes to less than 0.0001 for one. Check the price and its unit"
        )
    order = ANY_QUANTITY
    if has_order_terms:
        goods = offer.goods
        measure = PackMeasure(
            content=goods.content,
            pack=goods.pack,
            each=goods.each,
            feet=goods.unit == "ft",
            by_foot=goods.by_foot,
            basis=offer.basis,
            currency=offer.currency,
        )
        order = read_order_terms(cell, measure, unit_price, rules)
    return _item(offer, unit_price, order)


def _item(offer: Offer, unit_price: Decimal, order: OrderTerms) -> Item:
    goods, terms = offer.goods, offer.terms
    return Item(
        supplier=offer.identity[0],
        number=offer.identity[1],
        description=offer.description or goods.label,
        kind=goods.kind,
        attributes=goods.attributes,
        unit=goods.unit,
        pack=goods.pack,
        unit_price=unit_price,
        printed_price=offer.money.printed,
        price_basis=offer.basis,
        currency=offer.currency,
        row=offer.row,
        pieces=goods.pieces,
        read_from=goods.read_from,
        supposed=goods.supposed,
        breaks=order.breaks,
        minimum_packs=order.minimum_packs,
        pack_increment=order.pack_increment,
        valid_from=terms.valid_from,
        valid_until=terms.valid_until,
        lead_time_days=terms.lead_time_days,
        discontinued=terms.discontinued,
        replaced_by=terms.replaced_by,
        gtin=terms.gtin,
        covers=goods.covers,
    )
