"""Loads plugged into the supply itself against the rating of the outlets they use."""

from decimal import Decimal

from estimator.finding import Finding
from estimator.job.configurations import Configuration
from estimator.job.records import DirectLoad, Job
from estimator.sizing.feed import Feed
from estimator.sizing.tables import SizingTables
from estimator.units import plain, round_up

ONE = Decimal(1)
TENTH = Decimal("0.1")


def check_direct_loads(job: Job, feed: Feed, tables: SizingTables) -> tuple[Finding, ...]:
    """Each load, and all loads of one form together, against the outlet's own rating."""
    findings: list[Finding] = []
    together: dict[str, list[int]] = {}
    for number, load in enumerate(job.direct_loads):
        outlet = tables.configurations[load.outlet]
        findings += _one(job, load, number, outlet, tables)
        together.setdefault(load.outlet, []).append(number)
    for configuration, numbers in together.items():
        outlet = tables.configurations[configuration]
        findings += _share(job, numbers, outlet, tables)
        if configuration == feed.outlet.configuration:
            findings.append(_beside_cord(outlet, numbers[0]))
    return tuple(findings)


def _amps(load: DirectLoad, outlet: Configuration, tables: SizingTables) -> Decimal:
    limits = tables.limits
    return load.running_w / (limits.leg_volts if outlet.system == "120" else limits.both_legs_volts)


def _shown(amps: Decimal) -> str:
    """Amps rounded up, so that a little too much does not look like just enough."""
    return plain(round_up(amps, TENTH))


def _one(
    job: Job, load: DirectLoad, number: int, outlet: Configuration, tables: SizingTables
) -> list[Finding]:
    findings = []
    amps = _amps(load, outlet, tables)
    where = f"/direct_loads/{number}"
    if outlet.system != "120" and job.supply.system == "120":
        findings.append(
            Finding(
                "error",
                "DIRECT_LOAD_NEEDS_240_V",
                f"{load.name} is on outlet {outlet.configuration}, which a 120 V supply does not "
                "have.",
                f"{where}/outlet",
                "nec_multiwire_legs",
                "Leave this load out, name a 120 V outlet, or use a 120/240 V supply.",
            )
        )
    if amps > outlet.amps:
        findings.append(
            Finding(
                "error",
                "DIRECT_LOAD_OVER_OUTLET",
                f"{load.name} takes {_shown(amps)} A, more than the {outlet.amps} A of "
                f"its {outlet.configuration} outlet.",
                f"{where}/running_w",
                "nec_240_4",
                f"Check its watts, plug it into an outlet of {plain(round_up(amps, ONE))} A or "
                "more, or run it at less power.",
            )
        )
    return findings


def _share(
    job: Job, numbers: list[int], outlet: Configuration, tables: SizingTables
) -> list[Finding]:
    loads = [job.direct_loads[number] for number in numbers]
    amps = sum((_amps(load, outlet, tables) for load in loads), Decimal(0))
    if len(loads) == 1 or amps <= outlet.amps:
        return []
    return [
        Finding(
            "warning",
            "DIRECT_LOADS_OVER_OUTLET",
            f"{', '.join(load.name for load in loads)} together take {_shown(amps)} A, "
            f"more than one {outlet.configuration} outlet of {outlet.amps} A gives.",
            f"/direct_loads/{numbers[0]}/outlet",
            "nec_240_4",
            "Spread them over several outlets of the supply, each with its own breaker, or run "
            "less at one time.",
        )
    ]


def _beside_cord(outlet: Configuration, number: int) -> Finding:
    return Finding(
        "warning",
        "DIRECT_LOAD_ON_CORD_OUTLET",
        f"The house is fed from the supply's {outlet.configuration} outlet, and this load is to "
        "be plugged into the same form.",
        f"/direct_loads/{number}/outlet",
        "common_practice",
        f"Make sure that the supply has a second {outlet.configuration} outlet, or name another.",
    )
