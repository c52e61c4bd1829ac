"""A cable as one whole cut, with what it takes along its way."""

from collections.abc import Sequence

from estimator.basis import because
from estimator.sizing.records import RunConductor, RunDesign
from estimator.takeoff.cable_entries import take_cable_entries
from estimator.takeoff.cable_supports import take_cable_supports
from estimator.takeoff.consumables import use_up
from estimator.takeoff.sleeves import sleeve_of, take_sleeves
from estimator.takeoff.table_rows import CableFittingRow, MethodRow
from estimator.takeoff.taking import Taking, run_pointer
from estimator.takeoff.wall_passage import take_wall_passages
from estimator.takeoff.wire import STEP_FT, cut_length, take_terminations
from estimator.units import wire_rank

MOST_IN_CABLE = 3
_SMALL_CABLE_TO = "10 AWG"
_PLATES_A_FINISHED_RUN = 2
_ENDS = 2
_NAMED_BY_EACH_WIRE = ("SER",)


def take_cable(taking: Taking, run: RunDesign, method: MethodRow) -> None:
    """Cable of two or three conductors with ground: cut, entries, supports, plates, sleeves."""
    wires = insulated_wires(run)
    count = sum(wire.count for wire in wires)
    fitting = _fitting(taking, run, wires, count)
    if fitting is None:
        return
    sleeve = sleeve_of(taking, run, fitting)
    cut, reason = cut_length(taking, run, 0)
    taking.parts.add_cuts(
        "cable",
        {
            "cable": run.wiring_method,
            "conductors": cable_name(run),
            "material": wires[0].material,
        },
        (cut,),
        run_pointer(run),
        reason,
    )
    take_cable_entries(taking, run, method, fitting, sleeve)
    take_cable_supports(taking, run, method, fitting, count)
    take_sleeves(taking, run, sleeve)
    hole = fitting.hole_in
    if sleeve is not None and sleeve.to_wall:
        hole = taking.tables.wall_holes[sleeve.trade_size].hole_in
    take_wall_passages(taking, run, hole)
    _take_marking(taking, run, wires)
    _take_labour(taking, run, fitting.size)
    take_terminations(taking, run, count)


def insulated_wires(run: RunDesign) -> tuple[RunConductor, ...]:
    """The conductors of a run without its equipment ground."""
    return tuple(wire for wire in run.conductors if wire.role != "equipment_ground")


def cable_fitting(taking: Taking, run: RunDesign) -> CableFittingRow | None:
    """What the cable of a run takes by its size; None where we know none."""
    wires = insulated_wires(run)
    if not wires:
        return None
    size = max((wire.size for wire in wires), key=wire_rank)
    return taking.tables.cable_fittings.get((run.wiring_method, size))


def cable_name(run: RunDesign) -> str:
    """The cable as the trade writes it: "10/3", or "2-2-2-4" with each wire and the ground."""
    wires = insulated_wires(run)
    size = max((wire.size for wire in wires), key=wire_rank).removesuffix(" AWG")
    if run.wiring_method not in _NAMED_BY_EACH_WIRE and "/" not in size:
        return f"{size}/{sum(wire.count for wire in wires)}"
    grounds = [wire for wire in run.conductors if wire.role == "equipment_ground"]
    sizes = [
        wire.size.removesuffix(" AWG") for wire in (*wires, *grounds) for _ in range(wire.count)
    ]
    return "-".join(sizes)


def _fitting(
    taking: Taking, run: RunDesign, wires: Sequence[RunConductor], count: int
) -> CableFittingRow | None:
    if not wires or count > MOST_IN_CABLE:
        wanted = f"{count} conductors" if wires else "no conductors that could be sized"
        _not_taken_off(
            taking,
            run,
            f"has {wanted} in {run.wiring_method}, which is made with two or {MOST_IN_CABLE} and "
            "ground; the run is not taken off.",
            "Use a raceway for this run, or the factory whip.",
        )
        return None
    fitting = cable_fitting(taking, run)
    if fitting is None:
        known = [size for cable, size in taking.tables.cable_fittings if cable == run.wiring_method]
        size = max((wire.size for wire in wires), key=wire_rank)
        _not_taken_off(
            taking,
            run,
            f"wants {run.wiring_method} of {size}; it is made in {', '.join(known)} only, so the "
            "run is not taken off.",
            "Use a raceway for this run.",
        )
    return fitting


def _not_taken_off(taking: Taking, run: RunDesign, what: str, remedy: str) -> None:
    taking.find(
        "error",
        "CABLE_NOT_TAKEN_OFF",
        f"Run {run.index + 1} {what}",
        run_pointer(run),
        "common_practice",
        remedy,
    )


def _take_marking(taking: Taking, run: RunDesign, wires: Sequence[RunConductor]) -> None:
    if any(wire.role == "neutral" for wire in wires) or sum(wire.count for wire in wires) < 2:
        return
    reason = because(
        "The white wire of a cable without a neutral is a hot one here and is marked as such at "
        "both ends.",
        "nec_200_7_c",
    )
    use_up(taking, "marking_tape", _ENDS, run_pointer(run), reason)


def _take_labour(taking: Taking, run: RunDesign, size: str) -> None:
    reason = because(
        "Cable is run over the length of the run.", "own_convention", run_ft=run.length_ft
    )
    if not run.finished_wall:
        small = wire_rank(size) <= wire_rank(_SMALL_CABLE_TO)
        task = "cable_small" if small else "cable_large"
        taking.work.add(task, run.length_ft / STEP_FT, reason)
        return
    taking.work.add("cable_fished", 1, reason)
    plates = because(
        "Bored top and bottom plates of a finished wall are covered against nails and screws.",
        "nec_bored_holes",
    )
    values = {"thickness_in": "1/16"}
    taking.parts.add("nail_plate", values, _PLATES_A_FINISHED_RUN, run_pointer(run), plates)
    _tell_no_opening(taking, run)


def _tell_no_opening(taking: Taking, run: RunDesign) -> None:
    taking.find(
        "note",
        "FISHED_WITHOUT_OPENING",
        f"The cable of run {run.index + 1} is counted as fished through the finished wall without "
        "opening it; patch and paint of an opening are in neither parts nor hours.",
        run_pointer(run),
        "own_convention",
        "Agree what is done where fire blocks or insulation stop the cable, and add it by hand.",
    )
