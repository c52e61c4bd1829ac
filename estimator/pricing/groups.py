"""The groups of the price, each built up from its cost to its net and its sales tax."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from estimator.job.records import Group, Terms
from estimator.money import CENT, HUNDRED, ZERO, percent_of, to_cents
from estimator.pricing.records import GroupPrice

GROUPS: tuple[Group, ...] = ("materials", "labour", "permit")


def group_prices(
    costs: Mapping[Group, Decimal], bears_profit: Mapping[Group, bool], terms: Terms
) -> tuple[GroupPrice, ...]:
    """Materials, labour and permit from their costs in cents, in this order.

    The discount is capped at the price of all groups together. The steps and their rounding
    stand in price.py.
    """
    steps = [_steps(group, costs[group], bears_profit[group], terms) for group in GROUPS]
    discounts = spread(terms.discount, [sum(step, ZERO) for step in steps])
    rows: list[GroupPrice] = []
    for group, step, discount in zip(GROUPS, steps, discounts, strict=True):
        cost, overhead, contingency, profit = step
        net = cost + overhead + contingency + profit - discount
        taxable = group in terms.taxable
        tax = percent_of(terms.sales_tax_percent, net) if taxable else ZERO
        rows.append(
            GroupPrice(group, cost, overhead, contingency, profit, discount, net, taxable, tax)
        )
    return tuple(rows)


def profit_on(amount: Decimal, terms: Terms) -> Decimal:
    """Markup or margin of an amount, to the cent; none where the terms ask for neither.

    A margin of 100 % or more cannot be reached by any price; it counts as none here.
    """
    if terms.markup_percent is not None:
        return percent_of(terms.markup_percent, amount)
    if terms.margin_percent is not None and terms.margin_percent < HUNDRED:
        return to_cents(amount * terms.margin_percent / (HUNDRED - terms.margin_percent))
    return ZERO


def spread(amount: Decimal, over: Sequence[Decimal]) -> tuple[Decimal, ...]:
    """An amount shared out in proportion, in whole cents that sum to it exactly.

    over: what the shares are in proportion to, in cents, none below zero. Shares are rounded
    down; the cents still missing go one each to the largest remainders, earlier ones first.
    No share exceeds what it is in proportion to: more than their sum is not shared out.
    """
    whole = sum(over, ZERO)
    amount = min(to_cents(amount), whole)
    if amount <= 0:
        return tuple(ZERO for _ in over)
    cents, base = int(amount / CENT), int(whole / CENT)
    parts = [divmod(cents * int(each / CENT), base) for each in over]
    shares = [share for share, _ in parts]
    by_remainder = sorted(range(len(over)), key=lambda place: -parts[place][1])
    for place in by_remainder[: cents - sum(shares)]:
        shares[place] += 1
    return tuple(to_cents(share * CENT) for share in shares)


def _steps(
    group: Group, cost: Decimal, bears_profit: bool, terms: Terms
) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    if group == "permit":
        return (cost, ZERO, ZERO, ZERO)
    overhead = percent_of(terms.overhead_percent, cost)
    contingency = percent_of(terms.contingency_percent, cost + overhead)
    profit = profit_on(cost + overhead + contingency, terms) if bears_profit else ZERO
    return (cost, overhead, contingency, profit)
