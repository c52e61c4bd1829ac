"""Conductors between an automatic switch and the load centre behind it."""

from dataclasses import replace
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Job, Run
from estimator.sizing.ampacity import Demand, ampacity_of, ampacity_reasons
from estimator.sizing.automatic_switch import automatic_rating_a
from estimator.sizing.cables import drop_sizes, ground_reason, run_ground
from estimator.sizing.conductor_plan import (
    NO_CONDUCTORS,
    ConductorPlan,
    conditions_of,
    conductor_for,
    is_cable,
    run_conductor,
)
from estimator.sizing.feed import Feed
from estimator.sizing.load_study import LegWatts
from estimator.sizing.records import RunConductor
from estimator.sizing.tables import SizingTables
from estimator.sizing.voltage_drop import DropLimit, drop_percent, size_within_drop
from estimator.units import plain

TO_LOAD_CENTRE = "switch to load centre"
FROM_UTILITY = "utility to switch"


def plan_automatic_run(
    job: Job, index: int, feed: Feed, watts: LegWatts, tables: SizingTables
) -> ConductorPlan:
    """Two hots, neutral and equipment ground for the switch's rating.

    A load centre that is itself fed by a feeder has that feeder led to the switch and back:
    twice the hots and neutrals, with one equipment ground.
    """
    run = job.runs[index]
    pointer = f"/runs/{index}"
    ways = [TO_LOAD_CENTRE]
    if job.load_centre.role == "subpanel":
        ways.append(FROM_UTILITY)
    if is_cable(run, tables) and len(ways) > 1:
        return replace(NO_CONDUCTORS, findings=(_in_cable(run, pointer),))
    rating = automatic_rating_a(job, feed)
    conditions = conditions_of(job, run, 2 * len(ways), tables)
    demand = Demand(rating)
    enough, findings = conductor_for(demand, conditions, pointer, tables)
    ohms = drop_sizes(run, rating, enough.size, tables)
    volts = tables.limits.both_legs_volts
    limit = DropLimit(run.length_ft, Decimal(rating), volts, job.voltage_drop_target_percent)
    size, reached = size_within_drop(enough.size, limit, ohms)
    load_a = watts.heavier_of_circuits / tables.limits.leg_volts
    used = ampacity_of(size, rating, conditions, tables)
    return ConductorPlan(
        conductors=_conductors(job, run, ways, enough.size, size, rating, tables),
        current_carrying=2 * len(ways),
        factory_whip=False,
        overcurrent_a=rating,
        ampacity_a=used.usable_a if used else Decimal(0),
        enough_without_drop=enough.size,
        drop_percent=drop_percent(ohms[size], run.length_ft, limit.current_a, volts),
        drop_at_load_percent=drop_percent(ohms[size], run.length_ft, load_a, volts),
        drop_one_leg_percent=None,
        because=(
            because(
                "Hots only, neutrals carry the unbalance; in and out where the feeder is led to "
                "the switch and back",
                "nec_neutral_counting",
                current_carrying=2 * len(ways),
            ),
            *ampacity_reasons(enough, demand, conditions, tables),
            _dwelling(rating),
            ground_reason(run, rating, enough.size, size, tables),
        ),
        findings=(*findings, *_not_reached(run, reached, pointer)),
    )


def _conductors(
    job: Job,
    run: Run,
    ways: list[str],
    enough: str,
    size: str,
    rating: int,
    tables: SizingTables,
) -> tuple[RunConductor, ...]:
    palette = "cable" if is_cable(run, tables) else "feeder"
    colours = tables.colours
    conductors = []
    for way in ways:
        conductors += [
            run_conductor("ungrounded", size, colours[palette, leg], 1, way, run, tables)
            for leg in ("leg_1", "leg_2")
        ]
        white = colours[palette, "neutral"]
        conductors.append(run_conductor("neutral", size, white, 1, way, run, tables))
    ground = run_ground(run, rating, enough, size, tables)
    colour = colours[palette, "equipment_ground"]
    serves = " and ".join(ways)
    conductors.append(run_conductor("equipment_ground", ground, colour, 1, serves, run, tables))
    return tuple(conductors)


def _dwelling(rating: int) -> Because:
    return because(
        "Sized by the ampacity table; the smaller sizes that a dwelling's whole load may have are "
        "not used",
        "nec_dwelling_feeders",
        overcurrent_a=rating,
    )


def _not_reached(run: Run, reached: bool, pointer: str) -> list[Finding]:
    if reached:
        return []
    return [
        Finding(
            "warning",
            "VOLTAGE_DROP_NOT_REACHED",
            f"No conductor size keeps {plain(run.length_ft)} ft within the target at the "
            "switch's rating.",
            pointer,
            "nec_voltage_drop_note",
            "Move the switch nearer to the load centre, or accept a higher "
            "voltage_drop_target_percent.",
        )
    ]


def _in_cable(run: Run, pointer: str) -> Finding:
    return Finding(
        "error",
        "AUTOMATIC_RUN_IN_CABLE",
        f"The feeder is led to the switch and back, which one {run.wiring_method} cable does not "
        "hold; the run is not sized.",
        f"{pointer}/wiring_method",
        "nec_neutral_with_circuit",
        "Use a raceway: EMT, PVC-40, PVC-80, FMC, LFMC, LFNC-B, IMC or RMC.",
    )
