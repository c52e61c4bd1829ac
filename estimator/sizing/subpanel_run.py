"""Conductors between a transfer subpanel and the load centre: its feeder, and moved circuits."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Circuit, Job, Run
from estimator.sizing.ampacity import Ampacity, Conditions, Demand, ampacity_of, ampacity_reasons
from estimator.sizing.circuit_wires import CircuitWire, circuit_wires
from estimator.sizing.conductor_plan import (
    NO_CONDUCTORS,
    ConductorPlan,
    conditions_of,
    conductor_for,
    is_cable,
    run_conductor,
)
from estimator.sizing.feed import Feed
from estimator.sizing.grounding import base_equipment_ground, raised_equipment_ground
from estimator.sizing.records import RunConductor
from estimator.sizing.shared_neutrals import Pair, shared_neutral_pairs
from estimator.sizing.subpanel import utility_breaker_a
from estimator.sizing.subpanel_count import current_carrying
from estimator.sizing.tables import SizingTables
from estimator.sizing.voltage_drop import DropLimit, drop_percent, size_within_drop
from estimator.units import larger_wire, plain

UTILITY_FEEDER = "utility feeder"
ALL = "feeder and all circuits"


@dataclass(frozen=True, slots=True)
class _UtilityFeeder:
    """The feeder from the load centre's breaker. drop: per cent at the breaker's rating."""

    demand: Demand
    enough: Ampacity
    size: str
    reached: bool
    drop: Decimal


def plan_subpanel_run(job: Job, index: int, feed: Feed, tables: SizingTables) -> ConductorPlan:
    """Utility feeder and the moved circuits in one raceway, with one equipment ground.

    The feeder has two hots and a neutral; each moved circuit is led back to where its old wires
    are spliced, with its hots and its own neutral, or one neutral for two that share it.
    """
    run = job.runs[index]
    pointer = f"/runs/{index}"
    if is_cable(run, tables):
        return replace(NO_CONDUCTORS, findings=(_in_cable(run, pointer),))
    pairs, _ = shared_neutral_pairs(job.circuits)
    counted, counting = current_carrying(job.circuits, pairs)
    conditions = conditions_of(job, run, counted, tables)
    feeder, findings = _utility_feeder(job, run, feed, conditions, pointer, tables)
    wires, found = circuit_wires(job, run, feed, conditions, False, tables)
    ground, ground_reason = _ground(feeder, wires, run, tables)
    largest = _largest(feeder, wires)
    used = ampacity_of(feeder.size, feeder.demand.overcurrent_a, conditions, tables)
    return ConductorPlan(
        conductors=(
            *_feeder_conductors(feeder, run, tables),
            *_circuit_conductors(job.circuits, wires, pairs, run, tables),
            run_conductor(
                "equipment_ground",
                ground,
                tables.colours["feeder", "equipment_ground"],
                1,
                ALL,
                run,
                tables,
            ),
        ),
        current_carrying=counted,
        factory_whip=False,
        overcurrent_a=feeder.demand.overcurrent_a,
        ampacity_a=used.usable_a if used else Decimal(0),
        enough_without_drop=feeder.enough.size,
        drop_percent=max([feeder.drop, *(wire.drop for wire in wires)]),
        drop_at_load_percent=max((wire.drop_at_load for wire in wires), default=None),
        drop_one_leg_percent=None,
        because=(
            because(
                "Feeder and branch circuits of one system may share a raceway",
                "nec_conductors_of_systems",
            ),
            counting,
            *ampacity_reasons(feeder.enough, feeder.demand, conditions, tables),
            _drop_reason(feeder, wires),
            because(
                "Each moved circuit keeps a neutral of its own; a two-pole load that needs none "
                "leaves it capped",
                "nec_neutral_with_circuit",
            ),
            ground_reason,
        ),
        findings=(
            *findings,
            *found,
            *_drop_findings(feeder, wires, run, pointer),
            *_many(counted, largest, conditions, pointer),
        ),
    )


def _utility_feeder(
    job: Job, run: Run, feed: Feed, conditions: Conditions, pointer: str, tables: SizingTables
) -> tuple[_UtilityFeeder, tuple[Finding, ...]]:
    demand = Demand(utility_breaker_a(job, feed))
    enough, findings = conductor_for(demand, conditions, pointer, tables)
    limits = tables.limits
    limit = DropLimit(
        run.length_ft,
        Decimal(demand.overcurrent_a),
        limits.both_legs_volts,
        job.voltage_drop_target_percent,
    )
    conduit = tables.wiring_methods[run.wiring_method].conduit
    ohms = tables.ohm_per_kft[run.conductor_material, conduit]
    size, reached = size_within_drop(enough.size, limit, ohms)
    drop = drop_percent(ohms[size], limit.length_ft, limit.current_a, limit.volts)
    return _UtilityFeeder(demand, enough, size, reached, drop), findings


def _largest(feeder: _UtilityFeeder, wires: Sequence[CircuitWire]) -> str:
    size = feeder.size
    for wire in wires:
        size = larger_wire(size, wire.size)
    return size


def _ground(
    feeder: _UtilityFeeder, wires: Sequence[CircuitWire], run: Run, tables: SizingTables
) -> tuple[str, Because]:
    overcurrent = max([feeder.demand.overcurrent_a, *(wire.circuit.breaker_a for wire in wires)])
    base = base_equipment_ground(overcurrent, run.conductor_material, tables)
    size = raised_equipment_ground(base, feeder.enough.size, feeder.size, tables)
    for wire in wires:
        raised = raised_equipment_ground(base, wire.enough.size, wire.size, tables)
        size = larger_wire(size, raised)
    return size, because(
        "One equipment ground for feeder and circuits, by the largest overcurrent device",
        "nec_egc_shared",
        overcurrent_a=overcurrent,
        size=size,
    )


def _feeder_conductors(
    feeder: _UtilityFeeder, run: Run, tables: SizingTables
) -> list[RunConductor]:
    colours = tables.colours
    hots = [
        run_conductor(
            "ungrounded", feeder.size, colours["feeder", leg], 1, UTILITY_FEEDER, run, tables
        )
        for leg in ("leg_1", "leg_2")
    ]
    white = colours["feeder", "neutral"]
    neutral = run_conductor("neutral", feeder.size, white, 1, UTILITY_FEEDER, run, tables)
    return [*hots, neutral]


def _circuit_conductors(
    circuits: Sequence[Circuit],
    wires: Sequence[CircuitWire],
    pairs: Sequence[Pair],
    run: Run,
    tables: SizingTables,
) -> list[RunConductor]:
    black, white = tables.colours["feeder", "leg_1"], tables.colours["feeder", "neutral"]
    red = tables.colours["feeder", "leg_2"]
    first_of = dict(pairs)
    second = set(first_of.values())
    conductors = []
    for number, (circuit, wire) in enumerate(zip(circuits, wires, strict=True)):
        colours = (black, red) if circuit.poles == 2 else (red,) if number in second else (black,)
        conductors += [
            run_conductor("ungrounded", wire.size, colour, 1, circuit.name, run, tables)
            for colour in colours
        ]
        if number in second:
            continue
        size, serves = wire.size, circuit.name
        if number in first_of:
            other = first_of[number]
            size = larger_wire(size, wires[other].size)
            serves = f"{circuit.name} and {circuits[other].name}"
        conductors.append(run_conductor("neutral", size, white, 1, serves, run, tables))
    return conductors


def _drop_reason(feeder: _UtilityFeeder, wires: Sequence[CircuitWire]) -> Because:
    raised = [
        f"{wire.circuit.name} {wire.enough.size} to {wire.size}"
        for wire in wires
        if wire.size != wire.enough.size
    ]
    if feeder.size != feeder.enough.size:
        raised.insert(0, f"{UTILITY_FEEDER} {feeder.enough.size} to {feeder.size}")
    if not raised:
        return because("Voltage drop asks for no larger size", "nec_voltage_drop_note")
    return because("Raised by voltage drop: " + "; ".join(raised), "nec_voltage_drop_note")


def _drop_findings(
    feeder: _UtilityFeeder, wires: Sequence[CircuitWire], run: Run, pointer: str
) -> list[Finding]:
    missed = [wire.circuit.name for wire in wires if not wire.reached]
    if not feeder.reached:
        missed.insert(0, UTILITY_FEEDER)
    if not missed:
        return []
    return [
        Finding(
            "warning",
            "VOLTAGE_DROP_NOT_REACHED",
            f"No conductor size keeps {plain(run.length_ft)} ft within the target for "
            f"{', '.join(missed)}.",
            pointer,
            "nec_voltage_drop_note",
            "Move the subpanel nearer to the load centre, or accept a higher "
            "voltage_drop_target_percent.",
        )
    ]


def _many(counted: int, largest: str, conditions: Conditions, pointer: str) -> list[Finding]:
    if conditions.nipple or counted <= 3:
        return []
    return [
        Finding(
            "note",
            "CIRCUITS_BUNDLED",
            f"{counted} current-carrying conductors share one raceway longer than 24 in, which "
            f"enlarges all of them, up to {largest}.",
            pointer,
            "nec_310_15_c1",
            "Join the two cabinets by a nipple of 24 in or less, or by several raceways with few "
            "circuits each.",
        )
    ]


def _in_cable(run: Run, pointer: str) -> Finding:
    return Finding(
        "error",
        "SUBPANEL_RUN_IN_CABLE",
        f"The run between subpanel and load centre holds a feeder and every moved circuit and "
        f"cannot be one {run.wiring_method} cable; it is not sized.",
        f"{pointer}/wiring_method",
        "nec_neutral_with_circuit",
        "Use a raceway: EMT, PVC-40, PVC-80, FMC, LFMC, LFNC-B, ENT, IMC or RMC.",
    )
