"""Each circuit on the transfer equipment, as the design shows it."""

from collections.abc import Sequence

from estimator.basis import Because, because
from estimator.job.records import Circuit, Job, System, TransferMethod
from estimator.sizing.equipment import CIRCUITS_STAY
from estimator.sizing.records import CircuitDesign, Leg, RunDesign


def circuit_designs(
    job: Job,
    legs: Sequence[Leg],
    system: System,
    positions: Sequence[str],
    runs: Sequence[RunDesign],
) -> tuple[CircuitDesign, ...]:
    """All circuits in list order with leg, position and the wire to the load centre."""
    sizes = {
        conductor.serves: conductor.size
        for run in runs
        if "inlet" not in (run.from_, run.to)
        for conductor in run.conductors
        if conductor.role == "ungrounded"
    }
    method = job.transfer.method
    wire = None if method in CIRCUITS_STAY else _WIRE_REASONS[method]
    return tuple(
        CircuitDesign(
            name=circuit.name,
            leg=leg,
            breaker_a=circuit.breaker_a,
            poles=circuit.poles,
            conductor_size=sizes.get(circuit.name, ""),
            position=position,
            because=(_leg_reason(circuit, leg, system, method), _wire_reason(circuit, wire)),
        )
        for circuit, leg, position in zip(job.circuits, legs, positions, strict=True)
    )


_WIRE_REASONS: dict[TransferMethod, str] = {
    "manual_switch": "Two conductors a pole to the load centre, for the circuit's breaker",
    "subpanel": "Hots, neutral and ground led back to the load centre, for the circuit's breaker",
}


def _leg_reason(circuit: Circuit, leg: Leg, system: System, method: TransferMethod) -> Because:
    if leg == "L1+L2":
        text = "Two-pole circuit: both legs"
    elif system == "120":
        text = "The feed has one leg only"
    elif method in CIRCUITS_STAY:
        text = "Stays on the leg it is wired to, which is not known; the balanced case is shown"
    else:
        text = "Leg that keeps the heavier leg lightest"
    return because(text, "own_convention", running_w=circuit.running_w)


def _wire_reason(circuit: Circuit, text: str | None) -> Because:
    if text is None:
        return because(
            "Stays on its breaker in the load centre",
            "job_description",
            breaker_a=circuit.breaker_a,
        )
    return because(text, "nec_240_4", breaker_a=circuit.breaker_a)
