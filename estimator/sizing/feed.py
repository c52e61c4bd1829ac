"""What reaches the transfer equipment: system, voltage and current of the feed."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.job.configurations import Configuration
from estimator.job.records import Job, System
from estimator.sizing.tables import SizingTables


@dataclass(frozen=True, slots=True)
class Feed:
    """The feed from the supply.

    system: "120" as soon as supply, outlet or inlet carries one leg only. volts: base of the
    feeder's voltage drop [V]. current_a: smaller of the inlet's rating and what the supply
    gives continuously on this system [A]. leg_limit_w: most that a leg of a split-phase
    supply may carry [W]; None when the supply has one leg or its rating is not known.
    """

    system: System
    inlet: Configuration
    outlet: Configuration
    volts: Decimal
    current_a: Decimal
    leg_limit_w: Decimal | None


def describe_feed(job: Job, tables: SizingTables) -> Feed:
    """The feed of a job."""
    inlet = tables.configurations[job.inlet.configuration]
    outlet = tables.configurations[job.supply.outlet]
    supply = job.supply
    one_leg = "120" in (supply.system, outlet.system, inlet.system)
    limit = supply.leg_limit_w
    if limit is None and supply.continuous_w is not None:
        limit = supply.continuous_w / 2
    if supply.system == "120":
        limit = None
    available_w = limit if one_leg and supply.system == "120/240" else supply.continuous_w
    volts = tables.limits.leg_volts if one_leg else tables.limits.both_legs_volts
    current = Decimal(inlet.amps)
    if available_w is not None:
        current = min(current, available_w / volts)
    return Feed("120" if one_leg else "120/240", inlet, outlet, volts, current, limit)
