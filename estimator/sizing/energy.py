"""How long the supply lasts, how long it takes to fill again, what its energy costs."""

from decimal import Decimal

from estimator.job.records import Circuit, DirectLoad, Job, Supply
from estimator.sizing.records import Recharge, TierRuntime
from estimator.units import rounded

ZERO = Decimal(0)
HOURS_PER_DAY = Decimal(24)
WATTS_PER_KILOWATT = Decimal(1000)


def runtime_by_priority(job: Job) -> tuple[TierRuntime, ...]:
    """Hours of run time for each priority with all loads of it and of those kept longer.

    Usable kWh over (duty-weighted load / efficiency + idle draw). Most important tier first.
    """
    by_tier: dict[int, Decimal] = {}
    loads: tuple[Circuit | DirectLoad, ...] = (*job.circuits, *job.direct_loads)
    for load in loads:
        watt_hours = load.running_w * load.hours_per_day
        by_tier[load.priority] = by_tier.get(load.priority, ZERO) + watt_hours
    tiers: list[TierRuntime] = []
    day = ZERO
    for priority in sorted(by_tier):
        day += by_tier[priority]
        average = day / HOURS_PER_DAY
        tiers.append(TierRuntime(priority, rounded(average, 2), _hours(job.supply, average)))
    return tuple(tiers)


def _hours(supply: Supply, average_w: Decimal) -> Decimal | None:
    if supply.usable_kwh is None or supply.efficiency <= 0:
        return None
    draw = average_w / supply.efficiency + supply.idle_w
    return rounded(supply.usable_kwh * WATTS_PER_KILOWATT / draw, 2) if draw > 0 else None


def recharge_hours(supply: Supply) -> Recharge:
    """Hours to put the usable energy back, charging losses not counted.

    Both at once add up, unless the supply limits its input in all.
    """
    solar, ac = supply.solar_input_w, supply.ac_input_w
    return Recharge(
        _filling(supply.usable_kwh, solar),
        _filling(supply.usable_kwh, ac),
        _filling(supply.usable_kwh, solar + ac) if solar and ac else None,
    )


def _filling(usable_kwh: Decimal | None, input_w: Decimal | None) -> Decimal | None:
    if usable_kwh is None or not input_w:
        return None
    return rounded(usable_kwh * WATTS_PER_KILOWATT / input_w, 2)


def lifetime_energy(supply: Supply) -> tuple[Decimal | None, Decimal | None]:
    """kWh delivered over the cycle life and cost of each (currency per kWh), or None.

    Capacity falls evenly from all of usable_kwh to the stated share at the last cycle.
    """
    if supply.cycle_life is None or supply.usable_kwh is None:
        return None, None
    mean_share = (1 + supply.capacity_after_cycle_life) / 2
    lifetime = supply.cycle_life * supply.usable_kwh * mean_share
    if supply.price is None or lifetime <= 0:
        return rounded(lifetime, 1), None
    return rounded(lifetime, 1), rounded(supply.price / lifetime, 4)
