"""Why the price is what it is: one reason for each rule that was used."""

from collections.abc import Iterator, Sequence

from estimator.basis import Because, because
from estimator.catalogue.records import PurchasePlan
from estimator.job.records import Terms
from estimator.money import HUNDRED, ZERO
from estimator.pricing.records import GroupPrice, PriceLine


def price_reasons(
    terms: Terms, lines: Sequence[PriceLine], groups: Sequence[GroupPrice], plan: PurchasePlan
) -> Iterator[Because]:
    """Reasons in the order in which a person would rebuild the total."""
    yield _materials(terms, groups[0])
    if any(line.match != "unpriced" for line in lines):
        yield because(
            "Unit prices are those of the price lists, freed from per hundred and per "
            "thousand and rounded half up to four places.",
            "price_list",
        )
    yield from _purchase(plan)
    if terms.overhead_percent:
        yield because(
            "Overhead is a percentage of the cost of materials and of labour.",
            "job_description",
            overhead_percent=terms.overhead_percent,
        )
    if terms.contingency_percent:
        yield because(
            "Contingency is a percentage of cost and overhead, on materials and on labour.",
            "job_description",
            contingency_percent=terms.contingency_percent,
        )
    yield from _profit(terms)
    if terms.permit_fee is not None:
        yield because(
            "The permit fee is passed on at cost, without overhead, contingency or profit.",
            "own_convention",
            permit_fee=terms.permit_fee,
        )
    if terms.discount:
        yield because(
            "The discount is shared by all groups in proportion to their price; cents that do "
            "not divide go to the largest remainders.",
            "own_convention",
            discount=terms.discount,
            taken_off=sum((group.discount for group in groups), ZERO),
        )
    yield because(
        "Sales tax is a percentage of the net price of each taxed group, after the discount.",
        "job_description",
        sales_tax_percent=terms.sales_tax_percent,
        taxed=", ".join(terms.taxable) or "none",
    )
    yield because(
        "Each printed figure is rounded half up to the cent; the total adds net prices and "
        "sales tax as printed. The deposit is a percentage of the total.",
        "own_convention",
        deposit_percent=terms.deposit_percent,
    )


def _materials(terms: Terms, materials: GroupPrice) -> Because:
    if terms.price_by == "use":
        return because(
            "Materials are priced by use: the quantity needed at the unit price of the item "
            "bought for it. What is left over is not charged.",
            "job_description",
            cost=materials.cost,
        )
    return because(
        "Materials are priced by purchase: whole packs as bought, leftovers included.",
        "job_description",
        cost=materials.cost,
    )


def _purchase(plan: PurchasePlan) -> Iterator[Because]:
    if plan.terms and any(order.terms_fee for order in plan.orders):
        fees = sum((order.delivery_fee for order in plan.orders), ZERO)
        yield because(
            "Delivery is what it takes to have the materials on the site, so it is part of their "
            "cost: it bears overhead, profit and sales tax as they do. Where a state does not tax "
            "delivery that is charged apart, take its tax off by hand.",
            "own_convention",
            delivery_fees=fees,
        )
    if plan.kits:
        yield because(
            "A kit is bought where it costs less than its parts by themselves; it is charged "
            "whole, and what is left of it is not taken off.",
            "own_convention",
            kits=sum(kit.packs for kit in plan.kits),
        )
    if any(purchase.from_stock for purchase in plan.purchases):
        yield because(
            "What is at hand already is used where less has to be bought then, and costs nothing.",
            "job_description",
        )


def _profit(terms: Terms) -> Iterator[Because]:
    if terms.markup_percent is not None:
        yield because(
            "Profit is a markup: a percentage of cost, overhead and contingency.",
            "job_description",
            markup_percent=terms.markup_percent,
        )
    elif terms.margin_percent is not None and terms.margin_percent < HUNDRED:
        yield because(
            "Profit is a margin: a percentage of the price before discount, so of cost, "
            "overhead and contingency times margin / (100 - margin).",
            "job_description",
            margin_percent=terms.margin_percent,
        )
