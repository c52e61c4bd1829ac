"""The price of a job, rebuilt by hand as follows.

Every figure is rounded half up to the cent where it is printed; sums add printed figures.

1. Line of materials = unit price (four places) x quantity. Quantity is what is bought in
   whole packs, or with terms.price_by "use" what the job uses up. The unit price is that of the
   quantity break which the packs of the line reach.
2. Cost: materials = sum of the lines and of the delivery fees; labour = hours (two places) x
   rate (four places);
   permit = the fee. rate = labour.hourly_rate, or wage x (1 + burden / 100), or 0.00 for own
   hours. Minimum and travel hours are in the hours already.
3. Overhead = overhead % of cost. Contingency = contingency % of (cost + overhead). Profit =
   markup % of (cost + overhead + contingency), or for a margin (cost + overhead +
   contingency) x margin / (100 - margin). On materials always; on labour overhead and
   contingency always, profit only where it is priced from a wage, since a charged hourly
   rate contains it. The permit fee is passed on at cost.
4. The discount is shared by the groups in proportion to cost + overhead + contingency +
   profit: shares rounded down, the cents missing one each to the largest remainders. It is
   never more than the price.
5. Net = cost + overhead + contingency + profit - discount. Sales tax = tax % of net, for
   each taxed group.
6. Total = net and sales tax of all groups. Deposit = deposit % of the total.

Unpriced parts and an unknown permit fee are left out of the total, each with a finding.
"""

from decimal import Decimal

from estimator.basis import Because
from estimator.catalogue.records import PurchasePlan
from estimator.finding import Finding
from estimator.job.records import Group, Job, Terms
from estimator.money import ZERO, percent_of, to_cents
from estimator.pricing.groups import group_prices
from estimator.pricing.labour_cost import labour_cost
from estimator.pricing.material_lines import delivery_lines, material_lines
from estimator.pricing.price_findings import price_findings
from estimator.pricing.price_reasons import price_reasons
from estimator.pricing.records import Price
from estimator.takeoff.records import TakeOff


def price_estimate(job: Job, take_off: TakeOff, plan: PurchasePlan) -> Price:
    """The price of the take-off, bought as planned, on the terms of the job.

    plan: of the parts of this take-off, in their order, in the currency of the terms; its
    findings are among those of the price.
    """
    terms = job.terms
    lines = material_lines(plan, terms.price_by)
    deliveries = delivery_lines(plan)
    labour = labour_cost(take_off.hours, job.labour)
    costs: dict[Group, Decimal] = {
        "materials": sum(
            [line.amount for line in lines if line.amount is not None],
            sum([each.fee for each in deliveries], ZERO),
        ),
        "labour": labour.cost,
        "permit": to_cents(terms.permit_fee or ZERO),
    }
    bears_profit: dict[Group, bool] = {
        "materials": True,
        "labour": labour.bears_profit,
        "permit": False,
    }
    groups = group_prices(costs, bears_profit, terms)
    before_discount = sum((group.net + group.discount for group in groups), ZERO)
    total = sum((group.net + group.sales_tax for group in groups), ZERO)
    unpriced = sum(line.match == "unpriced" for line in lines)
    findings: tuple[Finding, ...] = (
        *plan.findings,
        *labour.findings,
        *price_findings(terms, lines, before_discount),
    )
    reasons: tuple[Because, ...] = (*labour.because, *price_reasons(terms, lines, groups, plan))
    return Price(
        currency=terms.currency,
        lines=lines,
        groups=groups,
        labour_hours=labour.hours,
        labour_rate=labour.rate,
        profit_kind=_profit_kind(terms),
        total=total,
        deposit=percent_of(terms.deposit_percent, total),
        complete=unpriced == 0,
        unpriced=unpriced,
        optimal=plan.optimal,
        findings=findings,
        because=reasons,
        deliveries=deliveries,
    )


def _profit_kind(terms: Terms) -> str:
    if terms.markup_percent is not None:
        return "markup"
    return "margin" if terms.margin_percent is not None else "none"
