"""The conductors of each circuit between a per-circuit switch and the load centre."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from estimator.finding import Finding
from estimator.job.records import Circuit, Job, Run
from estimator.record import quick
from estimator.sizing.ampacity import Ampacity, Conditions, Demand, OfferedConductors
from estimator.sizing.circuit_checks import design_load_a
from estimator.sizing.conductor_plan import conductor_for
from estimator.sizing.feed import Feed
from estimator.sizing.tables import SizingTables
from estimator.sizing.voltage_drop import DropLimit, drop_percent, size_within_drop


@quick
@dataclass(frozen=True, slots=True)
class CircuitWire:
    """The two conductors a pole of one circuit. drop_*: per cent, load out and back."""

    circuit: Circuit
    demand: Demand
    enough: Ampacity
    size: str
    reached: bool
    drop: Decimal
    drop_at_load: Decimal


def circuit_wires(
    job: Job, run: Run, feed: Feed, conditions: Conditions, whip: bool, tables: SizingTables
) -> tuple[list[CircuitWire], list[Finding]]:
    """Wires of all circuits in list order, and what stands against them.

    whip: part of the listed switch, so voltage drop does not enlarge it.
    """
    wires = []
    findings: list[Finding] = []
    offered_to = cache(lambda breaker_a: OfferedConductors(breaker_a, conditions, tables))
    for number, circuit in enumerate(job.circuits):
        demand = _demand(circuit, tables)
        offered = offered_to(circuit.breaker_a)
        enough, found = conductor_for(demand, conditions, f"/circuits/{number}", tables, offered)
        findings += found
        wires.append(_circuit_wire(job, circuit, demand, enough, run, feed, whip, tables))
    return wires, findings


def _demand(circuit: Circuit, tables: SizingTables) -> Demand:
    # A load above its own breaker is a finding of its own and does not enlarge the wire.
    breaker = Decimal(circuit.breaker_a)
    return Demand(
        circuit.breaker_a,
        min(design_load_a(circuit, tables), breaker),
        min(circuit.running_w / _volts(circuit, tables), breaker),
        circuit.single_load,
    )


def _volts(circuit: Circuit, tables: SizingTables) -> Decimal:
    return tables.limits.both_legs_volts if circuit.poles == 2 else tables.limits.leg_volts


def _circuit_wire(
    job: Job,
    circuit: Circuit,
    demand: Demand,
    enough: Ampacity,
    run: Run,
    feed: Feed,
    whip: bool,
    tables: SizingTables,
) -> CircuitWire:
    volts = _volts(circuit, tables)
    conduit = tables.wiring_methods[run.wiring_method].conduit
    ohms = tables.ohm_per_kft[run.conductor_material, conduit]
    current = min(Decimal(circuit.breaker_a), feed.current_a)
    limit = DropLimit(run.length_ft, current, volts, job.voltage_drop_target_percent)
    size, reached = (enough.size, True)
    if not whip:
        size, reached = size_within_drop(enough.size, limit, ohms)
    return CircuitWire(
        circuit,
        demand,
        enough,
        size,
        reached,
        drop_percent(ohms[size], run.length_ft, current, volts),
        drop_percent(ohms[size], run.length_ft, circuit.running_w / volts, volts),
    )
