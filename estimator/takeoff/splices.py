"""The splices that a transfer makes in the load centre, and the connectors that hold them."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING
from typing import Literal

from estimator.basis import Because, because
from estimator.job.records import Circuit, Job
from estimator.money import HUNDRED
from estimator.sizing.automatic_run import FROM_UTILITY
from estimator.sizing.records import CircuitDesign, Design
from estimator.sizing.shared_neutrals import own_neutrals
from estimator.takeoff.table_rows import BoxSpliceRow
from estimator.takeoff.taking import Taking
from estimator.units import larger_wire, wire_rank

Joins = Literal["hot", "neutral", "ground", "feeder"]
_GROUNDS_A_CONNECTOR = 4
_LARGEST_CIRCUIT_GROUND = "10 AWG"


@dataclass(frozen=True, slots=True)
class Splice:
    """One connector's worth of wires. size: the largest of them. aluminium: one of them is."""

    joins: Joins
    wires: int
    size: str
    aluminium: bool
    asked_by: tuple[str, ...]


def splices_of(job: Job, design: Design) -> tuple[Splice, ...]:
    """Every splice in the load centre, by what the method of transfer leads where."""
    method = job.transfer.method
    if method == "manual_switch":
        return tuple(_of_switch(job, design))
    if method == "subpanel":
        return tuple(_of_subpanel(job, design))
    if method == "automatic_switch":
        return tuple(_of_automatic(design))
    return ()


def _placed(job: Job, design: Design) -> list[tuple[int, Circuit, CircuitDesign]]:
    told = {circuit.name: (place, circuit) for place, circuit in enumerate(job.circuits)}
    return [(*told[one.name], one) for one in design.circuits if one.position]


def _splice(joins: Joins, place: int, wanted: Circuit, circuit: CircuitDesign) -> Splice:
    # A circuit whose run could not be sized is spliced as it is wired today.
    size = larger_wire(circuit.conductor_size or wanted.conductor_size, wanted.conductor_size)
    return Splice(joins, 2, size, wanted.conductor_material == "al", (f"/circuits/{place}",))


def _of_switch(job: Job, design: Design) -> Iterator[Splice]:
    # The line lead goes to the breaker; only the branch wire taken off it is spliced.
    placed = _placed(job, design)
    with_neutral = _neutral_holders(job, placed) if job.transfer.switched_neutral else set()
    for place, wanted, circuit in placed:
        for _ in range(circuit.poles):
            yield _splice("hot", place, wanted, circuit)
        if place in with_neutral:
            yield _splice("neutral", place, wanted, circuit)


def _neutral_holders(job: Job, placed: list[tuple[int, Circuit, CircuitDesign]]) -> set[int]:
    """Of the circuits of each neutral the first that found a place."""
    places = {place for place, _, _ in placed}
    groups = [[one for one in numbers if one in places] for numbers in own_neutrals(job.circuits)]
    return {group[0] for group in groups if group}


def _of_subpanel(job: Job, design: Design) -> Iterator[Splice]:
    placed = _placed(job, design)
    with_neutral = _neutral_holders(job, placed)
    for place, wanted, circuit in placed:
        for _ in range(circuit.poles):
            yield _splice("hot", place, wanted, circuit)
        if place in with_neutral:
            yield _splice("neutral", place, wanted, circuit)
    for first in range(0, len(placed), _GROUNDS_A_CONNECTOR):
        group = placed[first : first + _GROUNDS_A_CONNECTOR]
        size = max((wanted.conductor_size for _, wanted, _ in group), key=wire_rank)
        if wire_rank(size) > wire_rank(_LARGEST_CIRCUIT_GROUND):
            size = _LARGEST_CIRCUIT_GROUND
        aluminium = any(wanted.conductor_material == "al" for _, wanted, _ in group)
        pointers = tuple(f"/circuits/{place}" for place, _, _ in group)
        yield Splice("ground", len(group) + 1, size, aluminium, pointers)


def _of_automatic(design: Design) -> Iterator[Splice]:
    for run in design.runs:
        for wire in run.conductors:
            if wire.serves == FROM_UTILITY:
                for _ in range(wire.count):
                    aluminium = wire.material == "al"
                    yield Splice("feeder", 2, wire.size, aluminium, (f"/runs/{run.index}",))


def take_splices(taking: Taking) -> None:
    """Connectors for all splices, the twist-on ones with spares."""
    alike: dict[tuple[int, str, bool], list[Splice]] = {}
    for splice in splices_of(taking.job, taking.design):
        alike.setdefault((splice.wires, splice.size, splice.aluminium), []).append(splice)
    held: dict[BoxSpliceRow, list[Splice]] = {}
    for splices in alike.values():
        held.setdefault(connector_for(taking, splices[0]), []).extend(splices)
    for row, splices in held.items():
        if row.kind == "twist_on_connector":
            _take_twist_ons(taking, row.connector, splices)
            continue
        reason = because(
            "House wire of aluminium, or wire too large for a twist-on connector, is joined by "
            "set screws in a connector listed for it.",
            "nec_conductor_materials",
            splices=len(splices),
        )
        values = {"takes": row.connector, "ports": str(row.wires)}
        reasons = (*_why(taking, splices), reason)
        taking.parts.add(row.kind, values, len(splices), _pointers(splices), *reasons)


def connector_for(taking: Taking, splice: Splice) -> BoxSpliceRow:
    """The connector with the fewest ports that takes the splice's wires."""
    rank = wire_rank(splice.size)
    fitting = [
        row
        for row in taking.tables.box_splices
        if row.wires >= splice.wires
        and wire_rank(row.up_to) >= rank
        and (row.kind == "splicing_connector" or not splice.aluminium)
    ]
    return min(fitting, key=lambda row: row.wires)


def _take_twist_ons(taking: Taking, connector: str, splices: list[Splice]) -> None:
    spare = taking.tables.allowances["splice_spare"]
    count = len(splices)
    spares = int((count * spare.value / HUNDRED).to_integral_value(ROUND_CEILING))
    reason = because(
        "One connector a splice, plus spare.",
        spare.source,
        splices=count,
        spare_percent=spare.value,
        spare=spares,
    )
    taking.parts.add(
        "twist_on_connector",
        {"conductors": connector},
        count + spares,
        _pointers(splices),
        *_why(taking, splices),
        reason,
    )


def _pointers(splices: list[Splice]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(pointer for splice in splices for pointer in splice.asked_by))


def _why(taking: Taking, splices: list[Splice]) -> tuple[Because, ...]:
    switch = taking.manual_switch
    text: dict[Joins, str] = {
        "hot": "One splice a pole: the branch wire that leaves the breaker meets the load lead; "
        "the line lead takes the breaker's terminal."
        if switch
        else "One splice a pole: the branch wire that leaves its breaker meets the wire from the "
        "subpanel.",
        "neutral": "The circuit's neutral, or that of a pair with one, is taken over too, as the "
        "switch takes the neutral over; where the house cable has none, it caps the neutral that "
        "was led along."
        if switch
        else "One splice for the neutral of each circuit, or of a pair with one neutral; where "
        "the house cable has none, it caps the neutral that was led along.",
        "ground": "The grounds of up to four moved circuits meet a tail to the ground bar, cut "
        "from the run's ground; that frees terminals for the feeder.",
        "feeder": "The load centre's feeder is cut and led to the switch: hots and neutral are "
        "joined to the wires that go there.",
    }
    present = dict.fromkeys(splice.joins for splice in splices)
    return tuple(because(text[joins], "nec_panel_splices") for joins in present)
