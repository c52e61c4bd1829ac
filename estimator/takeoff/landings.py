"""Where both ends of every conductor of the design are landed, so that none hangs loose."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from estimator.job.records import Material, Node
from estimator.sizing.automatic_run import FROM_UTILITY
from estimator.sizing.records import Role, RunConductor, RunDesign
from estimator.sizing.shared_neutrals import own_neutrals
from estimator.sizing.subpanel_run import UTILITY_FEEDER
from estimator.takeoff.run_ends import End, run_ends
from estimator.takeoff.taking import Taking

Landing = Literal["terminal", "bar", "splice", "capped", "factory"]


@dataclass(frozen=True, slots=True)
class ConductorEnd:
    """Like conductor ends of a run in the box at one of its ends.

    lands: on a breaker or device terminal, on a neutral or ground bar, in a splice; "capped"
    for the leads of a circuit without a place; "factory" for the near end of a factory whip.
    """

    run: int
    node: End
    role: Role
    size: str
    material: Material
    serves: str
    count: int
    lands: Landing


def conductor_ends(taking: Taking) -> tuple[ConductorEnd, ...]:
    """Every end of every conductor, two for each, in the order of the runs."""
    return tuple(end for run in taking.design.runs for end in _ends(taking, run))


def _ends(taking: Taking, run: RunDesign) -> Iterator[ConductorEnd]:
    homeless = _homeless(taking)
    for wire, to_switch in _by_lead(taking, run):
        for node in run_ends(taking, run):
            lands = _landing(taking, run, wire, node, to_switch)
            if lands != "factory" and wire.serves in homeless:
                lands = "capped"
            yield ConductorEnd(
                run.index,
                node,
                wire.role,
                wire.size,
                wire.material,
                wire.serves,
                wire.count,
                lands,
            )


def _homeless(taking: Taking) -> set[str]:
    """What the wires of circuits without a place serve: a circuit, or a pair with one neutral."""
    homeless = {circuit.name for circuit in taking.design.circuits if not circuit.position}
    circuits = taking.job.circuits
    for numbers in own_neutrals(circuits):
        names = [circuits[number].name for number in numbers]
        if homeless.issuperset(names):
            homeless.add(" and ".join(names))
    return homeless


def _by_lead(taking: Taking, run: RunDesign) -> Iterator[tuple[RunConductor, bool]]:
    """Wires of a run, each with whether it leads to the switch and not back from it.

    Of the two hots of a circuit the one to the switch comes first. A switched neutral is one
    entry for both of its leads, which is parted here.
    """
    met: set[str] = set()
    for wire in run.conductors:
        if wire.role == "neutral" and _neutral_in_and_out(taking, run):
            yield replace(wire, count=wire.count - wire.count // 2), True
            yield replace(wire, count=wire.count // 2), False
            continue
        yield wire, wire.serves not in met
        met.add(wire.serves)


def _neutral_in_and_out(taking: Taking, run: RunDesign) -> bool:
    switched = taking.manual_switch and taking.job.transfer.switched_neutral
    return switched and run.from_ == "transfer"


def _landing(
    taking: Taking, run: RunDesign, wire: RunConductor, node: End, to_switch: bool
) -> Landing:
    if node == "junction_box":
        return "splice"
    if run.factory_whip and node == "transfer":
        return "factory"
    if node == "inlet":
        return "terminal"
    if wire.role == "equipment_ground":
        return "bar"
    if node == "load_centre" and _spliced(taking, run.from_, wire, to_switch):
        return "splice"
    if node == "transfer" and _neutral_in_and_out(taking, run):
        return "terminal"
    return "terminal" if wire.role == "ungrounded" else "bar"


def _spliced(taking: Taking, start: Node, wire: RunConductor, to_switch: bool) -> bool:
    """Whether a wire meets a moved circuit or a cut feeder in the load centre."""
    method = taking.job.transfer.method
    if start != "transfer" or method == "interlock":
        return False
    if method == "manual_switch":
        # One neutral for all circuits goes to the bar; one that is switched comes back to its own.
        led_back = wire.role == "ungrounded" or taking.job.transfer.switched_neutral
        return led_back and not to_switch
    if method == "subpanel":
        return wire.serves != UTILITY_FEEDER
    return wire.serves == FROM_UTILITY
