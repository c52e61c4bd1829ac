"""Work and parts in the load centre: splices, handle ties, moved circuits."""

from collections.abc import Sequence
from decimal import ROUND_CEILING

from estimator.basis import because
from estimator.job.records import Circuit
from estimator.money import HUNDRED
from estimator.sizing.records import CircuitDesign
from estimator.takeoff.consumables import use_up
from estimator.takeoff.taking import Taking
from estimator.units import larger_wire, wire_rank

_PLACES_A_PAIR = 2


def take_circuits(taking: Taking) -> None:
    """Every circuit that found a place on the switch, moved and spliced."""
    if not taking.manual_switch:
        return
    told = {circuit.name: (place, circuit) for place, circuit in enumerate(taking.job.circuits)}
    splices: dict[str, tuple[int, list[str]]] = {}
    moved: list[Circuit] = []
    for circuit in taking.design.circuits:
        place, wanted = told[circuit.name]
        if not circuit.position:
            continue
        pointer = f"/circuits/{place}"
        _count_splices(taking, circuit, wanted, pointer, splices)
        moved.append(wanted)
    _take_circuit_labour(taking, moved)
    for connector, (count, pointers) in splices.items():
        _take_splices(taking, connector, count, tuple(pointers))
    _take_shared_neutrals(taking)


def _count_splices(
    taking: Taking,
    circuit: CircuitDesign,
    wanted: Circuit,
    pointer: str,
    splices: dict[str, tuple[int, list[str]]],
) -> None:
    size = larger_wire(circuit.conductor_size, wanted.conductor_size)
    row = next(
        (row for row in taking.tables.splices if wire_rank(row.up_to) >= wire_rank(size)), None
    )
    if row is None:
        taking.find(
            "error",
            "SPLICE_NOT_TAKEN_OFF",
            f"{circuit.name} is wired with {size}, too large for a twist-on connector; its "
            "splice is not taken off.",
            pointer,
            "common_practice",
            "Add a splicing connector rated for this size by hand.",
        )
        return
    # The line lead goes to the breaker; only the branch wire taken off it is spliced.
    count = circuit.poles + (1 if taking.job.transfer.switched_neutral else 0)
    before, pointers = splices.get(row.connector, (0, []))
    splices[row.connector] = (before + count, [*pointers, pointer])


def _take_splices(taking: Taking, connector: str, count: int, asked_by: tuple[str, ...]) -> None:
    spare = taking.tables.allowances["splice_spare"]
    spares = int((count * spare.value / HUNDRED).to_integral_value(ROUND_CEILING))
    neutral = (
        " and its neutral, as the switch takes the neutral over too"
        if taking.job.transfer.switched_neutral
        else ""
    )
    reason = because(
        "One splice a pole: the branch wire that leaves the breaker meets the load lead"
        f"{neutral}; the line lead takes the breaker's terminal. Plus spare.",
        "nec_panel_splices",
        splices=count,
        spare_percent=spare.value,
        spare=spares,
    )
    taking.parts.add(
        "twist_on_connector", {"conductors": connector}, count + spares, asked_by, reason
    )


def _take_circuit_labour(taking: Taking, circuits: Sequence[Circuit]) -> None:
    double = [one for one in circuits if one.poles == 2 or one.shared_neutral_with is not None]
    protected = [one for one in circuits if one.protection != "standard"]
    found = because("Each circuit is found and proved first.", "own_convention")
    moved = because(
        "Each circuit is taken off its breaker, spliced to the switch and landed again.",
        "own_convention",
    )
    guarded = because(
        "Arc-fault and ground-fault breakers keep their neutral and their protection.",
        "nec_protection_of_relocated_circuit",
    )
    tested = because("Each circuit is run on the supply once.", "own_convention")
    taking.work.add("trace_circuit", len(circuits), found)
    taking.work.add("move_circuit_120", len(circuits) - len(double), moved)
    taking.work.add("move_circuit_240", len(double), moved)
    taking.work.add("protected_breaker", len(protected), guarded)
    taking.work.add("test_circuit", len(circuits), tested)


def _take_shared_neutrals(taking: Taking) -> None:
    places = {circuit.name: place for place, circuit in enumerate(taking.job.circuits)}
    seen: set[frozenset[str]] = set()
    for circuit in taking.job.circuits:
        other = circuit.shared_neutral_with
        if other is None or other not in places:
            continue
        pair = frozenset((circuit.name, other))
        if pair in seen:
            continue
        seen.add(pair)
        pointers = (f"/circuits/{places[circuit.name]}", f"/circuits/{places[other]}")
        tie = because(
            "Two circuits with one neutral open together: a tie in the load centre and one on "
            "the switch.",
            "nec_handle_ties",
        )
        taking.parts.add("handle_tie", {"poles": "2"}, _PLACES_A_PAIR, pointers, tie)
        taking.work.add("breaker_accessory", _PLACES_A_PAIR, tie)
        group = because(
            "Wires of a shared neutral are grouped in the load centre.", "nec_multiwire_grouping"
        )
        use_up(taking, "cable_tie", 1, pointers[0], group)
