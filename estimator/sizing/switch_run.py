"""Conductors from a per-circuit manual switch to the load centre."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Job, Run
from estimator.sizing.ampacity import (
    Conditions,
    ampacity_of,
    ampacity_reasons,
)
from estimator.sizing.circuit_wires import CircuitWire, circuit_wires
from estimator.sizing.conductor_plan import (
    COOL_C,
    NO_CONDUCTORS,
    ConductorPlan,
    conditions_of,
    is_cable,
    run_conductor,
)
from estimator.sizing.counting import switch_run_count
from estimator.sizing.feed import Feed
from estimator.sizing.grounding import base_equipment_ground, raised_equipment_ground
from estimator.sizing.records import Role, RunConductor
from estimator.sizing.switch_neutrals import ALL_CIRCUITS, Neutral, switch_neutrals
from estimator.sizing.tables import SizingTables
from estimator.units import larger_wire, plain, wire_rank


def is_factory_whip(job: Job, run: Run) -> bool:
    """Whether a run is the whip that comes with the listed switch."""
    return job.transfer.factory_whip and run.length_ft <= job.transfer.whip_length_ft


def plan_switch_run(job: Job, index: int, feed: Feed, tables: SizingTables) -> ConductorPlan:
    """Two ungrounded conductors a pole, neutrals and one equipment ground.

    A factory whip is taken as listed: no fill, no adjustment, no voltage-drop target.
    """
    run = job.runs[index]
    if is_cable(run, tables):
        return replace(NO_CONDUCTORS, findings=(_in_cable(run, index),))
    if not job.circuits:
        return NO_CONDUCTORS
    whip = is_factory_whip(job, run)
    counted, counting = switch_run_count(
        job.circuits, feed.system, switched_neutral=job.transfer.switched_neutral
    )
    conditions = conditions_of(job, run, counted, tables)
    if whip:
        conditions = _unadjusted(replace(conditions, ambient_c=min(run.ambient_c, COOL_C)))
    wires, findings = circuit_wires(job, run, feed, conditions, whip, tables)
    neutrals, neutral_reason = switch_neutrals(job, feed, conditions, wires, tables)
    ground, ground_reason = _ground(feed, wires, neutrals, run, tables)
    if not whip:
        findings += _drop_findings(wires, run, index)
        findings += _whip_too_short(job, run, index)
    largest = max(wires, key=lambda w: (wire_rank(w.size), w.demand.overcurrent_a))
    used = ampacity_of(largest.size, largest.demand.overcurrent_a, conditions, tables)
    sizing = (
        (_listed(run),)
        if whip
        else (
            *ampacity_reasons(largest.enough, largest.demand, conditions, tables),
            _drop_reason(wires),
        )
    )
    return ConductorPlan(
        conductors=_conductors(wires, neutrals, ground, run, tables),
        current_carrying=counted,
        factory_whip=whip,
        overcurrent_a=largest.demand.overcurrent_a,
        ampacity_a=used.usable_a if used else Decimal(0),
        enough_without_drop=largest.enough.size,
        drop_percent=max(wire.drop for wire in wires),
        drop_at_load_percent=max(wire.drop_at_load for wire in wires),
        drop_one_leg_percent=None,
        because=(counting, *sizing, neutral_reason, ground_reason),
        findings=tuple(findings),
    )


def _listed(run: Run) -> Because:
    return because(
        "Factory whip of the listed switch: taken as listed, conductors and conduit come with it",
        "nec_listing_instructions",
        length_ft=run.length_ft,
    )


def _unadjusted(conditions: Conditions) -> Conditions:
    return replace(conditions, nipple=True)


def _ground(
    feed: Feed,
    wires: list[CircuitWire],
    neutrals: Sequence[Neutral],
    run: Run,
    tables: SizingTables,
) -> tuple[str, Because]:
    overcurrent = max(feed.inlet.amps, *(wire.circuit.breaker_a for wire in wires))
    base = base_equipment_ground(overcurrent, run.conductor_material, tables)
    size = base
    for wire in wires:
        raised = raised_equipment_ground(base, wire.enough.size, wire.size, tables)
        size = larger_wire(size, raised)
    largest = max(
        [*(each.size for each in neutrals), *(wire.size for wire in wires)], key=wire_rank
    )
    if wire_rank(size) > wire_rank(largest):
        size = largest
    return size, because(
        "One equipment ground for all circuits, by the largest overcurrent device",
        "nec_egc_shared",
        overcurrent_a=overcurrent,
        size=size,
    )


def _conductors(
    wires: list[CircuitWire],
    neutrals: Sequence[Neutral],
    ground: str,
    run: Run,
    tables: SizingTables,
) -> tuple[RunConductor, ...]:
    colours = tables.colours
    hots = [
        run_conductor(
            "ungrounded",
            wire.size,
            colours["switch", use],
            wire.circuit.poles,
            wire.circuit.name,
            run,
            tables,
        )
        for wire in wires
        for use in ("line_in", "load_out")
    ]
    others = [
        run_conductor(role, size, colours["switch", role], count, serves, run, tables)
        for role, size, count, serves in _other_conductors(neutrals, ground)
    ]
    return (*hots, *others)


def _other_conductors(
    neutrals: Sequence[Neutral], ground: str
) -> Iterator[tuple[Role, str, int, str]]:
    for neutral in neutrals:
        yield "neutral", neutral.size, neutral.count, neutral.serves
    yield "equipment_ground", ground, 1, ALL_CIRCUITS


def _drop_reason(wires: list[CircuitWire]) -> Because:
    raised = [wire for wire in wires if wire.size != wire.enough.size]
    if not raised:
        return because("Voltage drop asks for no larger size", "nec_voltage_drop_note")
    return because(
        "Raised by voltage drop: "
        + "; ".join(f"{w.circuit.name} {w.enough.size} to {w.size}" for w in raised),
        "nec_voltage_drop_note",
    )


def _drop_findings(wires: list[CircuitWire], run: Run, index: int) -> list[Finding]:
    missed = [wire.circuit.name for wire in wires if not wire.reached]
    if not missed:
        return []
    return [
        Finding(
            "warning",
            "VOLTAGE_DROP_NOT_REACHED",
            f"No conductor size keeps {plain(run.length_ft)} ft within the target for "
            f"{', '.join(missed)}.",
            f"/runs/{index}",
            "nec_voltage_drop_note",
            "Move the transfer equipment nearer to the load centre, or accept a higher "
            "voltage_drop_target_percent.",
        )
    ]


def _whip_too_short(job: Job, run: Run, index: int) -> list[Finding]:
    if not job.transfer.factory_whip:
        return []
    return [
        Finding(
            "warning",
            "WHIP_TOO_SHORT",
            f"The factory whip is {plain(job.transfer.whip_length_ft)} ft but the run is "
            f"{plain(run.length_ft)} ft; lengthened it is no longer part of the listed switch, so "
            "the conductors are sized as field wiring.",
            f"/runs/{index}/length_ft",
            "nec_listing_instructions",
            f"Mount the switch within {plain(job.transfer.whip_length_ft)} ft of the load centre, "
            "or set transfer.factory_whip to false.",
        )
    ]


def _in_cable(run: Run, index: int) -> Finding:
    return Finding(
        "error",
        "SWITCH_RUN_IN_CABLE",
        f"The run from a per-circuit switch to the load centre has two conductors a pole and "
        f"cannot be {run.wiring_method} cable here; it is not sized.",
        f"/runs/{index}/wiring_method",
        "nec_neutral_with_circuit",
        "Use the factory whip or a raceway: FMC, EMT, PVC-40, PVC-80, LFMC, LFNC-B, ENT, IMC or "
        "RMC.",
    )
