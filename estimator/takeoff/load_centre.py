"""Work in the load centre on the circuits themselves: moved, spliced, tied and tried."""

from collections.abc import Sequence

from estimator.basis import because
from estimator.job.records import Circuit
from estimator.takeoff.breakers import take_ties
from estimator.takeoff.splices import take_splices
from estimator.takeoff.taking import Taking


def take_circuits(taking: Taking) -> None:
    """Every circuit that found a place: moved and spliced, or left on its breaker, and tried."""
    told = {circuit.name: circuit for circuit in taking.job.circuits}
    placed = [told[one.name] for one in taking.design.circuits if one.position]
    if taking.moves_circuits:
        _take_moves(taking, placed)
    tested = because("Each circuit is run on the supply once.", "own_convention")
    taking.work.add("test_circuit", len(placed), tested)
    take_splices(taking)
    take_ties(taking)


def _take_moves(taking: Taking, circuits: Sequence[Circuit]) -> None:
    double = [one for one in circuits if one.poles == 2 or one.shared_neutral_with is not None]
    protected = [one for one in circuits if one.protection != "standard"]
    found = because("Each circuit is found and proved first.", "own_convention")
    moved = because(
        "Each circuit is taken off its breaker, spliced to the switch and landed again."
        if taking.manual_switch
        else "Each circuit is taken off its breaker, spliced on and landed in the subpanel.",
        "own_convention",
    )
    guarded = because(
        "Arc-fault and ground-fault breakers keep their neutral and their protection.",
        "nec_protection_of_relocated_circuit",
    )
    taking.work.add("trace_circuit", len(circuits), found)
    taking.work.add("move_circuit_120", len(circuits) - len(double), moved)
    taking.work.add("move_circuit_240", len(double), moved)
    taking.work.add("protected_breaker", len(protected), guarded)
