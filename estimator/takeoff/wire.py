"""Conductors as whole cuts, one cut for each piece in a run, and their landing."""

from decimal import Decimal

from estimator.basis import Because, because
from estimator.money import HUNDRED
from estimator.sizing.records import RunConductor, RunDesign
from estimator.takeoff.consumables import bought_black
from estimator.takeoff.raceway_plan import has_large_wire
from estimator.takeoff.run_ends import End, run_ends
from estimator.takeoff.taking import Taking, run_pointer
from estimator.units import round_up

STEP_FT = Decimal(10)
_WIRES_PULLED_TOGETHER = Decimal(4)


def cut_length(taking: Taking, run: RunDesign, boxes: int) -> tuple[Decimal, Because]:
    """Length of each piece of wire in a run [ft], and why.

    The run, make-up in the enclosures at both ends and in each box along it, waste, rounded
    up to the cut step. boxes: boxes along the run.
    """
    rows = taking.tables.make_up
    first, last = (rows[_make_up(end)] for end in run_ends(taking, run))
    slack = first.length_ft + last.length_ft + boxes * rows["pull_box"].length_ft
    waste = taking.tables.allowances["wire_waste"]
    longer = (run.length_ft + slack) * (HUNDRED + waste.value) / HUNDRED
    cut = round_up(longer, taking.allowance("cut_step"))
    reason = because(
        "Each piece is the run, make-up in its enclosures and waste, rounded up to half a foot.",
        first.source,
        run_ft=run.length_ft,
        make_up_ft=slack,
        waste_percent=waste.value,
        piece_ft=cut,
    )
    return cut, reason


def _make_up(end: End) -> str:
    return "pull_box" if end == "junction_box" else end


def take_conductors(taking: Taking, run: RunDesign, boxes: int) -> None:
    """Single conductors pulled into a raceway, by size, material, insulation and colour."""
    if not run.conductors:
        return
    cut, reason = cut_length(taking, run, boxes)
    pointer = run_pointer(run)
    count = 0
    for wire in run.conductors:
        count += wire.count
        taking.parts.add_cuts(
            "conductor",
            {
                "size": wire.size,
                "material": wire.material,
                "insulation": wire.insulation,
                "colour": _bought_colour(wire),
            },
            (cut,) * wire.count,
            pointer,
            reason,
        )
    pulled = because(
        "Wire is pulled through the length of the run, four at a time.",
        "own_convention",
        run_ft=run.length_ft,
        conductors=count,
    )
    together = max(Decimal(1), count / _WIRES_PULLED_TOGETHER)
    task = "pull_large" if _is_large(run) else "pull_small"
    taking.work.add(task, run.length_ft / STEP_FT * together, pulled)
    take_terminations(taking, run, count)


def _bought_colour(wire: RunConductor) -> str:
    """The colour on the reel: from 4 AWG black, and the ends are marked with tape."""
    return "black" if bought_black(wire) else wire.colour


def take_terminations(taking: Taking, run: RunDesign, count: int) -> None:
    """Landing of a run's conductors at the ends whose landing is work of the run itself.

    Ends of moved circuits in the load centre belong to their move, ends in an automatic switch
    to the connecting of it.
    """
    ends = run_ends(taking, run)
    landed = sum(end != "junction_box" for end in ends)
    if ends[1] == "load_centre" and taking.moves_circuits:
        landed -= 1
    if "transfer" in ends and taking.job.transfer.method == "automatic_switch":
        landed -= 1
    reason = because(
        "Conductors are landed to the torque that the equipment states.",
        "nec_torque",
        conductors=count,
        ends=landed,
    )
    task = "terminate_large" if _is_large(run) else "terminate_small"
    taking.work.add(task, landed * max(Decimal(1), count / _WIRES_PULLED_TOGETHER), reason)


def _is_large(run: RunDesign) -> bool:
    return has_large_wire(run) or any(wire.size == "6 AWG" for wire in run.conductors)
