"""The existing load centre: its ratings, and the legs of circuits that stay in it."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.equipment import CIRCUITS_STAY, Equipment
from estimator.sizing.feed import Feed
from estimator.sizing.load_study import LegWatts
from estimator.sizing.shared_neutrals import Pair
from estimator.sizing.tables import SizingTables
from estimator.units import plain, rounded


def check_panel(
    job: Job,
    feed: Feed,
    pairs: Sequence[Pair],
    equipment: Equipment,
    watts: LegWatts,
    tables: SizingTables,
) -> tuple[Finding, ...]:
    """Findings on the load centre that depend on the kind of transfer."""
    return (
        *_main_and_bus(job, equipment),
        *_legs_as_wired(job, feed, pairs, watts, tables),
        *_feeder_on_utility(job, equipment, watts, tables),
    )


def _main_and_bus(job: Job, equipment: Equipment) -> list[Finding]:
    main, bus = job.load_centre.main_a, job.load_centre.bus_a
    findings = []
    if main > bus:
        findings.append(
            Finding(
                "error",
                "MAIN_OVER_BUS",
                f"The load centre's main is {main} A but its bus is rated {bus} A.",
                "/load_centre/main_a",
                "nec_panel_ocpd",
                f"Read both ratings from the panel's label; a main of {bus} A or less protects "
                "this bus.",
            )
        )
    if job.transfer.method == "interlock" and equipment.rating_a > bus:
        findings.append(
            Finding(
                "error",
                "BACKFED_BREAKER_OVER_BUS",
                f"The {equipment.rating_a} A back-fed breaker is above the load centre's {bus} A "
                "bus.",
                "/load_centre/bus_a",
                "nec_panel_ocpd",
                f"Use an inlet and a back-fed breaker of {bus} A or less.",
            )
        )
    return findings


def _legs_as_wired(
    job: Job, feed: Feed, pairs: Sequence[Pair], watts: LegWatts, tables: SizingTables
) -> list[Finding]:
    """Circuits that stay are on legs that nobody has told: the best and the worst of it."""
    if job.transfer.method not in CIRCUITS_STAY or feed.system == "120" or not job.circuits:
        return []
    limits = tables.limits
    best = max(watts.first, watts.second)
    direct_on_each_leg = watts.first - watts.circuits_first
    worst = _worst_leg(job, pairs) + direct_on_each_leg
    most = Decimal(min(feed.inlet.amps, feed.outlet.amps)) * limits.leg_volts
    if feed.leg_limit_w is not None:
        most = min(most, feed.leg_limit_w)
    over = worst > most
    return [
        Finding(
            "warning" if over else "note",
            "LEGS_AS_WIRED",
            "The circuits stay on the legs they are wired to, which the job does not tell: the "
            f"heavier leg takes from {plain(rounded(best / limits.leg_volts, 1))} A (balanced, as "
            f"shown) to {plain(rounded(worst / limits.leg_volts, 1))} A (all on one leg); "
            f"{plain(rounded(most / limits.leg_volts, 1))} A is what a leg gives.",
            "/circuits",
            "own_convention",
            "Look in the load centre which leg each circuit is on, and move circuits to other "
            "spaces until the legs are even."
            if over
            else "Even the worst case fits; nothing has to be moved.",
        )
    ]


def _worst_leg(job: Job, pairs: Sequence[Pair]) -> Decimal:
    """Watts of the heavier leg when every one-pole circuit is on it but one half of each pair."""
    lighter = {
        one if job.circuits[one].running_w <= job.circuits[other].running_w else other
        for one, other in pairs
    }
    return sum(
        (
            circuit.running_w / 2 if circuit.poles == 2 else circuit.running_w
            for number, circuit in enumerate(job.circuits)
            if number not in lighter
        ),
        Decimal(0),
    )


def _feeder_on_utility(
    job: Job, equipment: Equipment, watts: LegWatts, tables: SizingTables
) -> list[Finding]:
    if job.transfer.method != "subpanel" or not equipment.breakers:
        return []
    breaker = equipment.breakers[0].rating_a
    amps = watts.heavier_of_circuits / tables.limits.leg_volts
    if amps <= breaker:
        return []
    return [
        Finding(
            "warning",
            "SUBPANEL_FEEDER_OVERLOADED",
            f"On the utility the moved circuits ask {plain(rounded(amps, 1))} A on one leg, over "
            f"the {breaker} A feeder breaker.",
            "/transfer/rating_a",
            "nec_continuous_load",
            "Use a feeder breaker and subpanel of a higher rating; the supply's side does not "
            "change by it.",
        )
    ]
