"""The arithmetic of a programme of one's own: base, amount, caps in their order, tax."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.credits.programme_reasons import Asked
from estimator.credits.programmes import EVERYBODY, Programme, Tier, value_on
from estimator.credits.records import ClaimFacts, CostLine
from estimator.money import ZERO, to_cents


@dataclass(frozen=True, slots=True)
class Costs:
    """The costs as the programme sees them. counted: its base before deductions. sales_tax:
    the part of it that is tax on what counts. all: every cost.
    """

    counted: Decimal
    sales_tax: Decimal
    all: Decimal


@dataclass(frozen=True, slots=True)
class Grant:
    """What a programme gives. rate: share of the base, zero where there is none. capped_by:
    the caps that held, in words. tentative: after them. amount: usable this year.
    """

    base: Decimal
    rate: Decimal
    tentative: Decimal
    amount: Decimal
    carryforward: Decimal | None
    capped_by: tuple[tuple[str, Decimal], ...]


NO_GRANT = Grant(ZERO, ZERO, ZERO, ZERO, ZERO, ())


def counts(cost: CostLine, programme: Programme) -> bool:
    """Whether a cost belongs to the programme's base; a tax, when the cost it is on does too."""
    codes = {cost.code, cost.judged_as}
    if codes & programme.left_out:
        return False
    return not programme.base_costs or codes <= programme.base_costs


def costs_for(programme: Programme, costs: Sequence[CostLine]) -> Costs:
    """The costs put before a programme, added up."""
    counted = [cost for cost in costs if counts(cost, programme)]
    return Costs(
        sum((cost.amount for cost in counted), ZERO),
        sum((cost.amount for cost in counted if cost.on), ZERO),
        sum((cost.amount for cost in costs), ZERO),
    )


def grant(case: Asked, customer_class: str, costs: Costs, earlier: Decimal) -> Grant:
    """What a customer of a class gets, once earlier programmes have given ``earlier`` [money].

    Order: base less what comes off it; share, amount per kWh or flat amount; cap; cap as a
    share of the base; cap on all incentives together; tax limit for what is not refundable.
    Every step is rounded half up to the cent.
    """
    programme = case.programme
    base = max(costs.counted - _off_the_base(case, earlier), ZERO)
    if programme.kind == "sales_tax_exemption":
        base = costs.sales_tax
    rate, raw = _raw(case, customer_class, base, costs)
    tentative, capped_by = raw, []
    for name, most in _caps(case, customer_class, base, costs, earlier):
        if most < tentative:
            tentative = most
            capped_by.append((name, most))
    limit = None if programme.refundable else case.amount("tax_limit")
    if programme.refundable:
        amount, carried = tentative, ZERO
    elif limit is None:
        amount, carried = tentative, None
    else:
        amount = min(tentative, to_cents(limit))
        carried = tentative - amount if programme.carryforward_years else ZERO
    return Grant(base, rate, tentative, amount, carried, tuple(capped_by))


def _off_the_base(case: Asked, earlier: Decimal) -> Decimal:
    facts = case.facts
    amounts = {
        "earlier_programmes": earlier,
        "utility_subsidy": facts.utility_subsidy,
        "seller_rebate": facts.seller_rebate,
        "state_incentive": facts.state_incentive,
    }
    return sum((amounts[name] for name in case.programme.base_less), ZERO)


def _raw(case: Asked, customer_class: str, base: Decimal, costs: Costs) -> tuple[Decimal, Decimal]:
    programme = case.programme
    if programme.kind == "per_kwh":
        dated = programme.tiers.get(customer_class) or programme.tiers.get(EVERYBODY)
        if dated is None:
            return ZERO, ZERO
        tiers = dated.on(case.day).value
        limits = (
            case.kwh_at_most,
            tiers[-1].up_to_kwh,
            value_on(programme.maximum_kwh, customer_class, case.day),
        )
        known = [limit for limit in limits if limit is not None]
        # Without any limit of the capacity, what was paid bounds the amount.
        return ZERO, by_steps(min(known), tiers) if known else costs.counted
    value = value_on(programme.amounts, customer_class, case.day) or ZERO
    if programme.kind == "flat":
        return ZERO, to_cents(value)
    return value, to_cents(base * value)


def by_steps(kwh: Decimal, tiers: Sequence[Tier]) -> Decimal:
    """The amount for a capacity, each step paid at its own amount per kWh; none beyond the last."""
    total, below = ZERO, ZERO
    for tier in tiers:
        end = kwh if tier.up_to_kwh is None else min(kwh, tier.up_to_kwh)
        if end > below:
            total += (end - below) * tier.per_kwh
            below = end
    return to_cents(total)


def _caps(
    case: Asked, customer_class: str, base: Decimal, costs: Costs, earlier: Decimal
) -> list[tuple[str, Decimal]]:
    programme, day = case.programme, case.day
    caps = []
    cap = value_on(programme.caps, customer_class, day)
    if cap is not None:
        caps.append(("the cap", to_cents(cap)))
    share = value_on(programme.cap_shares, customer_class, day)
    if share is not None:
        caps.append(("the cap as a share of the base", to_cents(base * share)))
    total = value_on(programme.total_cap_shares, customer_class, day)
    if total is not None:
        before = earlier + _told_incentives(case.facts)
        room = max(to_cents(costs.all * total) - before, ZERO)
        caps.append(("the cap on all incentives together", room))
    return caps


def _told_incentives(facts: ClaimFacts) -> Decimal:
    return sum((amount for _, amount in facts.incentives), ZERO)
