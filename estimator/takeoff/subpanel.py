"""A transfer subpanel: the cabinet, its bars and breakers, and the spaces it leaves."""

from estimator.basis import because
from estimator.job.records import Circuit
from estimator.sizing.shared_neutrals import shared_neutral_pairs
from estimator.sizing.subpanel_run import UTILITY_FEEDER
from estimator.takeoff.breakers import SUBPANEL, close_spaces, take_circuit_breakers
from estimator.takeoff.cabinets import POINTER, enclosure_of, mount_cabinet
from estimator.takeoff.ground_bars import take_ground_bar
from estimator.takeoff.raceway_plan import has_large_wire
from estimator.takeoff.taking import Taking, run_pointer


def take_subpanel(taking: Taking) -> None:
    """Cabinet with selector, ground bar, breakers of the moved circuits, fillers, room."""
    transfer, design = taking.job.transfer, taking.design.transfer
    inlet_a = min(
        (run.overcurrent_a for run in taking.design.runs if run.from_ == "inlet"),
        default=design.rating_a,
    )
    cabinet = because(
        "One cabinet whose selector lets in either the utility's feeder or the inlet; the "
        "inlet's main is not above what the inlet carries. Inlet box and cord are needs of "
        "their own.",
        "nec_transfer_equipment",
        spaces=design.spaces,
        spaces_needed=design.spaces_needed,
        rating_a=design.rating_a,
        inlet_main_a=inlet_a,
    )
    taking.parts.add(
        "transfer_subpanel",
        {
            "spaces": str(design.spaces),
            "rating_a": str(design.rating_a),
            "inlet_a": str(inlet_a),
            "enclosure": enclosure_of(taking),
            "mounting": transfer.mounting,
        },
        1,
        POINTER,
        cabinet,
    )
    mount_cabinet(taking, "transfer_subpanel", "mount_subpanel")
    take_ground_bar(taking, _grounds(taking), POINTER, SUBPANEL)
    moved = moved_circuits(taking)
    take_circuit_breakers(taking, moved)
    _make_room(taking, moved)
    _land_feeder(taking)


def moved_circuits(taking: Taking) -> list[tuple[int, Circuit]]:
    """Circuits that found a place on the equipment, with their numbers in the job."""
    placed = {one.name for one in taking.design.circuits if one.position}
    circuits = enumerate(taking.job.circuits)
    return [(place, circuit) for place, circuit in circuits if circuit.name in placed]


def _grounds(taking: Taking) -> int:
    return sum(
        wire.count
        for run in taking.design.runs
        for wire in run.conductors
        if wire.role == "equipment_ground" and "transfer" in (run.from_, run.to)
    )


def _make_room(taking: Taking, moved: list[tuple[int, Circuit]]) -> None:
    opened = sum(circuit.poles for _, circuit in moved)
    added = taking.design.transfer.breakers
    wanted = sum(breaker.poles for breaker in added if breaker.place == "load_centre")
    close_spaces(taking, opened, wanted)
    pairs, _ = shared_neutral_pairs(taking.job.circuits)
    places = {place for place, _ in moved}
    if any(circuit.poles == wanted for _, circuit in moved):
        return
    if any({one, other} <= places for one, other in pairs):
        return
    reason = because(
        "The feeder's breaker wants two neighbouring spaces; those that one-pole circuits give "
        "up seldom are, so one breaker is moved.",
        "common_practice",
        spaces=wanted,
    )
    taking.work.add("move_breaker", 1, reason)


def _land_feeder(taking: Taking) -> None:
    """The feeder's end in the load centre; the circuits' ends there are part of their move."""
    for run in taking.design.runs:
        if any(wire.serves == UTILITY_FEEDER for wire in run.conductors):
            reason = because(
                "The subpanel's feeder is landed in the load centre to the torque that its "
                "breaker states.",
                "nec_torque",
                run=run_pointer(run),
            )
            large = has_large_wire(run) or any(wire.size == "6 AWG" for wire in run.conductors)
            taking.work.add("terminate_large" if large else "terminate_small", 1, reason)
