"""Conductors from the inlet to the transfer equipment."""

from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Job, Run
from estimator.sizing.ampacity import Ampacity, Conditions, Demand, ampacity_of, ampacity_reasons
from estimator.sizing.cables import drop_sizes, ground_held_back, ground_reason, run_ground
from estimator.sizing.conductor_plan import (
    ConductorPlan,
    conditions_of,
    conductor_for,
    is_cable,
    run_conductor,
)
from estimator.sizing.counting import feeder_count
from estimator.sizing.feed import Feed
from estimator.sizing.load_study import LegWatts
from estimator.sizing.records import RunConductor
from estimator.sizing.tables import SizingTables
from estimator.sizing.voltage_drop import DropLimit, drop_percent, size_within_drop
from estimator.units import plain, rounded

SERVES = "feeder"


def plan_feeder(
    job: Job,
    index: int,
    feed: Feed,
    watts: LegWatts,
    target_percent: Decimal,
    tables: SizingTables,
) -> ConductorPlan:
    """Hots, neutral and equipment ground of a run that leaves the inlet.

    target_percent: share of the voltage-drop target that falls to this run [%].
    """
    run = job.runs[index]
    pointer = f"/runs/{index}"
    counted, counting = feeder_count(feed)
    conditions = conditions_of(job, run, counted, tables)
    demand = Demand(feed.inlet.amps)
    enough, findings = conductor_for(demand, conditions, pointer, tables)
    ohms = drop_sizes(run, feed.inlet.amps, enough.size, tables)
    limit = DropLimit(run.length_ft, feed.current_a, feed.volts, target_percent)
    size, reached = size_within_drop(enough.size, limit, ohms)
    ground = run_ground(run, feed.inlet.amps, enough.size, size, tables)
    used = ampacity_of(size, feed.inlet.amps, conditions, tables)
    return ConductorPlan(
        conductors=_conductors(feed, run, size, ground, tables),
        current_carrying=counted,
        factory_whip=False,
        overcurrent_a=feed.inlet.amps,
        ampacity_a=used.usable_a if used else Decimal(0),
        enough_without_drop=enough.size,
        drop_percent=drop_percent(ohms[size], run.length_ft, feed.current_a, feed.volts),
        drop_at_load_percent=drop_percent(
            ohms[size],
            run.length_ft,
            watts.heavier_of_circuits / tables.limits.leg_volts,
            feed.volts,
        ),
        drop_one_leg_percent=_one_leg_drop(ohms[size], run, feed, tables),
        because=(
            counting,
            *_size_reasons(enough, size, demand, conditions, limit, ohms[size], tables),
            ground_reason(run, feed.inlet.amps, enough.size, size, tables),
        ),
        findings=(
            *findings,
            *_drop_findings(enough.size, size, reached, limit, pointer),
            *ground_held_back(run, enough.size, size, limit, pointer, tables),
        ),
    )


def _conductors(
    feed: Feed, run: Run, size: str, ground: str, tables: SizingTables
) -> tuple[RunConductor, ...]:
    palette = "cable" if is_cable(run, tables) else "feeder"
    legs = ("leg_1",) if feed.inlet.system == "120" else ("leg_1", "leg_2")
    conductors = [
        run_conductor("ungrounded", size, tables.colours[palette, leg], 1, SERVES, run, tables)
        for leg in legs
    ]
    if feed.inlet.has_neutral:
        colour = tables.colours[palette, "neutral"]
        conductors.append(run_conductor("neutral", size, colour, 1, SERVES, run, tables))
    colour = tables.colours[palette, "equipment_ground"]
    conductors.append(run_conductor("equipment_ground", ground, colour, 1, SERVES, run, tables))
    return tuple(conductors)


def _one_leg_drop(
    ohm_per_kft: Decimal, run: Run, feed: Feed, tables: SizingTables
) -> Decimal | None:
    if feed.system == "120":
        return None
    volts = tables.limits.leg_volts
    current = feed.current_a
    if feed.leg_limit_w is not None:
        current = min(Decimal(feed.inlet.amps), feed.leg_limit_w / volts)
    return drop_percent(ohm_per_kft, run.length_ft, current, volts)


def _size_reasons(
    enough: Ampacity,
    size: str,
    demand: Demand,
    conditions: Conditions,
    limit: DropLimit,
    ohm_per_kft: Decimal,
    tables: SizingTables,
) -> tuple[Because, ...]:
    by_table_8 = tables.circular_mils[size] <= tables.limits.table_8_up_to_cmil
    drop = because(
        f"Raised from {enough.size} to {size} by voltage drop"
        if size != enough.size
        else "Voltage drop asks for no larger size",
        "nec_ch9_t8" if by_table_8 else "nec_ch9_t9",
        enough_without_drop=enough.size,
        ohm_per_kft=ohm_per_kft,
        current_a=rounded(limit.current_a, 2),
        length_ft=limit.length_ft,
        volts=limit.volts,
        target_percent=rounded(limit.percent, 2),
    )
    return (*ampacity_reasons(enough, demand, conditions, tables), drop)


def _drop_findings(
    enough: str, size: str, reached: bool, limit: DropLimit, pointer: str
) -> tuple[Finding, ...]:
    target = plain(rounded(limit.percent, 2))
    if not reached:
        return (
            Finding(
                "warning",
                "VOLTAGE_DROP_NOT_REACHED",
                f"No size offered for this run keeps {plain(limit.length_ft)} ft within "
                f"{target} %; {enough} is enough for the current alone and is used.",
                pointer,
                "nec_voltage_drop_note",
                "Shorten the run, move the transfer equipment, or accept a higher "
                "voltage_drop_target_percent.",
            ),
        )
    if size == enough:
        return ()
    return (
        Finding(
            "note",
            "RAISED_FOR_VOLTAGE_DROP",
            f"{enough} is enough for the current; {size} keeps the voltage drop within "
            f"{target} %, which is advice and not a rule.",
            pointer,
            "nec_voltage_drop_note",
            f"Check that the terminals at both ends take {size}, or raise "
            f"voltage_drop_target_percent to stay with {enough}.",
        ),
    )
