"""Conductors and cables as whole cuts, one cut for each piece in a run."""

from decimal import Decimal

from estimator.basis import Because, because
from estimator.money import HUNDRED
from estimator.sizing.records import RunDesign
from estimator.takeoff.raceway_plan import has_large_wire
from estimator.takeoff.supports import take_staples
from estimator.takeoff.taking import Taking, run_pointer
from estimator.takeoff.wall_passage import take_wall_passages
from estimator.units import round_up, wire_rank

_MOST_IN_CABLE = 3
_SMALL_CABLE_TO = "10 AWG"
_WIRES_PULLED_TOGETHER = Decimal(4)
_STEP_FT = Decimal(10)
_PLATES_A_FINISHED_RUN = 2


def cut_length(taking: Taking, run: RunDesign, pull_boxes: int) -> tuple[Decimal, Because]:
    """Length of each piece of wire in a run [ft], and why.

    The run, make-up in the enclosures at both ends and in each pull box, waste, rounded up
    to the cut step.
    """
    make_up = taking.tables.make_up
    ends = make_up[run.from_].length_ft + make_up[run.to].length_ft
    slack = ends + pull_boxes * make_up["pull_box"].length_ft
    waste = taking.tables.allowances["wire_waste"]
    longer = (run.length_ft + slack) * (HUNDRED + waste.value) / HUNDRED
    cut = round_up(longer, taking.allowance("cut_step"))
    reason = because(
        "Each piece is the run, make-up in its enclosures and waste, rounded up to half a foot.",
        make_up[run.from_].source,
        run_ft=run.length_ft,
        make_up_ft=slack,
        waste_percent=waste.value,
        piece_ft=cut,
    )
    return cut, reason


def take_conductors(taking: Taking, run: RunDesign, pull_boxes: int) -> None:
    """Single conductors pulled into a raceway, by size, material, insulation and colour."""
    if not run.conductors:
        return
    cut, reason = cut_length(taking, run, pull_boxes)
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
                "colour": wire.colour,
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
    taking.work.add(task, run.length_ft / _STEP_FT * together, pulled)
    take_terminations(taking, run, count)


def take_terminations(taking: Taking, run: RunDesign, count: int) -> None:
    """Landing of a run's conductors; those in the load centre belong to its circuits."""
    in_load_centre = run.to == "load_centre" and taking.manual_switch
    ends = 1 if in_load_centre else 2
    reason = because(
        "Conductors are landed to the torque that the equipment states.",
        "nec_torque",
        conductors=count,
        ends=ends,
    )
    task = "terminate_large" if _is_large(run) else "terminate_small"
    taking.work.add(task, ends * max(Decimal(1), count / _WIRES_PULLED_TOGETHER), reason)


def take_cable(taking: Taking, run: RunDesign) -> None:
    """Cable of two or three conductors with ground: cuts, connectors, staples, plates."""
    hot = [wire for wire in run.conductors if wire.role != "equipment_ground"]
    count = sum(wire.count for wire in hot)
    pointer = run_pointer(run)
    if not hot or count > _MOST_IN_CABLE:
        wanted = f"{count} conductors" if hot else "no conductors that could be sized"
        taking.find(
            "error",
            "CABLE_NOT_TAKEN_OFF",
            f"Run {run.index + 1} has {wanted} in {run.wiring_method}, which is made with two or "
            f"{_MOST_IN_CABLE} and ground; the run is not taken off.",
            pointer,
            "common_practice",
            "Use a raceway for this run, or the factory whip.",
        )
        return
    size = max((wire.size for wire in hot), key=wire_rank)
    fitting = taking.tables.cable_fittings.get(size)
    if fitting is None:
        taking.find(
            "error",
            "CABLE_NOT_TAKEN_OFF",
            f"Run {run.index + 1} wants {run.wiring_method} of {size}; we know fittings for "
            f"{', '.join(taking.tables.cable_fittings)} only, so the run is not taken off.",
            pointer,
            "common_practice",
            "Use a raceway for this run.",
        )
        return
    cut, reason = cut_length(taking, run, 0)
    name = f"{size.removesuffix(' AWG')}/{count}"
    taking.parts.add_cuts(
        "cable",
        {"cable": run.wiring_method, "conductors": name, "material": hot[0].material},
        (cut,),
        pointer,
        reason,
    )
    entry = because("The cable is secured where it enters each enclosure.", "nec_312_5_c")
    taking.parts.add(
        "cable_connector",
        {"trade_size": fitting.connector, "cable": run.wiring_method},
        2,
        pointer,
        entry,
    )
    take_staples(taking, run, fitting.staple)
    take_wall_passages(taking, run, fitting.hole_in)
    _take_cable_labour(taking, run, size)
    take_terminations(taking, run, count)


def _take_cable_labour(taking: Taking, run: RunDesign, size: str) -> None:
    reason = because(
        "Cable is run over the length of the run.", "own_convention", run_ft=run.length_ft
    )
    if not run.finished_wall:
        small = wire_rank(size) <= wire_rank(_SMALL_CABLE_TO)
        task = "cable_small" if small else "cable_large"
        taking.work.add(task, run.length_ft / _STEP_FT, reason)
        return
    taking.work.add("cable_fished", 1, reason)
    plates = because(
        "Bored top and bottom plates of a finished wall are covered against nails and screws.",
        "nec_bored_holes",
    )
    taking.parts.add(
        "nail_plate",
        {"thickness_in": "1/16"},
        _PLATES_A_FINISHED_RUN,
        run_pointer(run),
        plates,
    )


def _is_large(run: RunDesign) -> bool:
    return has_large_wire(run) or any(wire.size == "6 AWG" for wire in run.conductors)
