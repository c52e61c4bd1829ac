"""Neutrals between a per-circuit switch and the load centre."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.basis import Because, because
from estimator.job.records import Circuit, Job
from estimator.sizing.ampacity import Conditions, Demand
from estimator.sizing.circuit_wires import CircuitWire
from estimator.sizing.conductor_plan import conductor_for
from estimator.sizing.feed import Feed
from estimator.sizing.shared_neutrals import own_neutrals
from estimator.sizing.tables import SizingTables
from estimator.units import larger_wire

ALL_CIRCUITS = "all circuits"


@dataclass(frozen=True, slots=True)
class Neutral:
    """Like neutrals of the run: how many, and for which circuits."""

    size: str
    count: int
    serves: str


def switch_neutrals(
    job: Job, feed: Feed, conditions: Conditions, wires: Sequence[CircuitWire], tables: SizingTables
) -> tuple[tuple[Neutral, ...], Because]:
    """The neutrals of the run, and why.

    A switch that leaves the neutral alone needs one back to the load centre, for all circuits
    on the supply. One that takes the neutral over leads each circuit's own in and out with its
    hots; on the utility, one neutral for several circuits is not allowed (200.4).
    """
    if job.transfer.switched_neutral:
        return _of_each_circuit(job.circuits, wires)
    return _common(feed, conditions, wires, tables)


def _of_each_circuit(
    circuits: Sequence[Circuit], wires: Sequence[CircuitWire]
) -> tuple[tuple[Neutral, ...], Because]:
    neutrals = []
    for numbers in own_neutrals(circuits):
        size = wires[numbers[0]].size
        for number in numbers[1:]:
            size = larger_wire(size, wires[number].size)
        serves = " and ".join(circuits[number].name for number in numbers)
        neutrals.append(Neutral(size, 2, serves))
    return tuple(neutrals), because(
        "The switch takes the neutral over with the hots: each circuit, or pair that shares one, "
        "has its own neutral in and out, of the size of its hots; group and mark them together",
        "nec_neutral_with_circuit",
        neutrals=sum(neutral.count for neutral in neutrals),
    )


def _common(
    feed: Feed, conditions: Conditions, wires: Sequence[CircuitWire], tables: SizingTables
) -> tuple[tuple[Neutral, ...], Because]:
    sums = feed.system == "120"
    own = conditions if sums else replace(conditions, nipple=True)
    found, _ = conductor_for(Demand(feed.inlet.amps), own, "", tables)
    size = found.size
    for wire in wires:
        if wire.size != wire.enough.size:
            # The neutral carries the same current back over the same length.
            size = larger_wire(size, wire.size)
    return (Neutral(size, 1, ALL_CIRCUITS),), because(
        "Common neutral for the inlet's rating; it carries the sum of one leg"
        if sums
        else "Common neutral for the inlet's rating; it carries only the unbalance and is not "
        "adjusted for bundling",
        "nec_neutral_counting",
        inlet_a=feed.inlet.amps,
        size=size,
    )
