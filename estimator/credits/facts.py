"""From the job and its price to the facts and the costs of a credit claim."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal

from estimator.basis import because
from estimator.credits.labour_costs import hours_by_cost
from estimator.credits.records import ClaimFacts, CostLine
from estimator.credits.shares import divided
from estimator.job.records import Group, Job
from estimator.money import ZERO
from estimator.pricing.records import GroupPrice, Price
from estimator.takeoff.records import TakeOff

_SUPPLY_AS_TOLD = "The price of the supply as told, taken as what is paid for it, tax included."
_SUPPLY_UNPRICED = "The price of the supply was not told; it is missing from the base."
_SHARED: Mapping[Group, str] = {
    "materials": "What the customer pays for these materials: their share of the group's net, in "
    "proportion to their printed amounts.",
    "labour": "What the customer pays for this work: its share of the group's net, in proportion "
    "to its hours; work that serves all tasks is spread over them.",
    "permit": "The permit fee as it is passed on.",
}
_UNDIVIDED = "There was nothing to divide this part of the price by."
_TAXED = "Its share of the sales tax of its group, in proportion to what is paid for it."
_NO_PRICE = "Parts of this kind that have no price yet; they are missing from the base."
_ONE = Decimal(1)
VEHICLE_CHARGER = "vehicle_charger"


def claim_facts(job: Job, today: date) -> ClaimFacts:
    """The facts of the claim as the job tells them; nothing is guessed.

    today: tells whether the completion day lies ahead.
    """
    claim, supply = job.credit_claim, job.supply
    return ClaimFacts(
        supply_kind=supply.kind,
        completed_on=claim.completed_on,
        placed_in_service_on=claim.placed_in_service_on,
        paid_on=claim.paid_on,
        planned=claim.completed_on is not None and claim.completed_on > today,
        portable=supply.portable,
        permanently_wired=claim.permanently_wired,
        nameplate_kwh=supply.nameplate_kwh,
        usable_kwh=supply.usable_kwh,
        charged_only_by_onsite_solar=claim.charged_only_by_onsite_solar,
        residence=job.site.residence,
        newly_built_home=job.site.built_before_sale,
        region=job.site.region,
        nonbusiness_share=claim.nonbusiness_share,
        tax_limit=claim.tax_before_credit,
        carryforward_in=claim.carryforward_in,
        utility_subsidy=claim.utility_subsidy,
        seller_rebate=claim.seller_rebate,
        state_incentive=claim.state_incentive,
        panel_cost=claim.panel_upgrade.cost,
        panel_amps=claim.panel_upgrade.amps,
        panel_enables=claim.panel_upgrade.enables,
        charges_vehicle=VEHICLE_CHARGER in claim.panel_upgrade.enables,
    )


def cost_lines(job: Job, take_off: TakeOff, price: Price) -> tuple[CostLine, ...]:
    """The costs of the job by cost code: the supply first, then the groups of the price.

    Convention: the credit looks at what the customer pays. The net of each group of the price
    (cost, overhead, contingency, profit, less discount) is divided over the cost codes of the
    group: materials in proportion to their printed amounts, labour in proportion to the hours
    of its tasks. The sales tax of a group is divided in the same proportion, on a line of its
    own for each code (CostLine.on). All lines without the supply add up to ``price.total`` to
    the cent. The price of the supply stands as told. A cost code with parts that have no price
    gets a line of zero with priced=False, and so does a supply without a price.
    """
    return (
        *_supply_lines(job),
        *_unpriced_lines(price),
        *(
            line
            for group in price.groups
            for line in _group_lines(group, _weights(group, job, take_off, price))
        ),
    )


def _supply_lines(job: Job) -> Iterator[CostLine]:
    price = job.supply.price
    text = _SUPPLY_UNPRICED if price is None else _SUPPLY_AS_TOLD
    yield CostLine(
        code=_supply_code(job),
        description="",
        amount=ZERO if price is None else price,
        priced=price is not None,
        because=(because(text, "job_description"),),
    )


def _supply_code(job: Job) -> str:
    if job.supply.kind == "generator":
        return "generator_fuel"
    wired = job.credit_claim.permanently_wired
    fixed = wired or (wired is None and not job.supply.portable)
    return "battery_fixed" if fixed else "battery_portable"


def _unpriced_lines(price: Price) -> Iterator[CostLine]:
    parts: dict[str, int] = {}
    for line in price.lines:
        if line.amount is None:
            parts[line.cost_code] = parts.get(line.cost_code, 0) + 1
    for code, count in parts.items():
        reason = because(_NO_PRICE, "price_list", parts=count)
        yield CostLine(code, "", ZERO, priced=False, because=(reason,))


def _weights(group: GroupPrice, job: Job, take_off: TakeOff, price: Price) -> Mapping[str, Decimal]:
    """What the net of a group is divided by: printed amounts of materials, hours of labour."""
    if group.group == "permit":
        return {"permit_inspection": _ONE}
    if group.group == "labour":
        if job.labour.skill == "own":
            return {"own_labour": _ONE}
        return hours_by_cost(take_off.labour)
    amounts: dict[str, Decimal] = {}
    for line in price.lines:
        if line.amount is not None:
            amounts[line.cost_code] = amounts.get(line.cost_code, ZERO) + line.amount
    return amounts


def _group_lines(group: GroupPrice, weights: Mapping[str, Decimal]) -> Iterator[CostLine]:
    shares = {code: weight for code, weight in weights.items() if weight > 0}
    text = _SHARED[group.group] if shares else _UNDIVIDED
    # Only a price made by hand can have a net without anything to divide it by.
    shares = shares or {"unsorted": _ONE}
    parts = tuple(shares.values())
    reason = because(text, "own_convention", group_cost=group.cost, group_net=group.net)
    for code, net in zip(shares, divided(group.net, parts), strict=True):
        if net:
            yield CostLine(code, "", net, because=(reason,))
    if not group.sales_tax:
        return
    reason = because(_TAXED, "own_convention", group_tax=group.sales_tax)
    for code, tax in zip(shares, divided(group.sales_tax, parts), strict=True):
        if tax:
            yield CostLine("sales_tax", "", tax, on=code, because=(reason,))
