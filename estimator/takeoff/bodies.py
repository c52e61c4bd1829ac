"""Along a raceway run: conduit bodies and boxes at its pull points and where it enters a wall."""

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.boxes import (
    BoxWanted,
    needs_rain_tight,
    put_up_boxes,
    smallest_stocked_box,
    tell_box_missing,
)
from estimator.takeoff.raceway_plan import RacewayPlan
from estimator.takeoff.table_rows import MethodRow
from estimator.takeoff.taking import Taking, run_pointer
from estimator.units import inches

_STRAIGHT_FACTOR = 8
_ANGLE_FACTOR = 6


def take_bodies(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    """Conduit bodies at walls and pull points for wires up to 6 AWG, boxes for the rest."""
    pointer = run_pointer(run)
    for shape, count, text, source in (
        (
            "LB",
            plan.wall_bodies,
            "One conduit body where the raceway turns into a wall.",
            "common_practice",
        ),
        (
            "C",
            plan.pull_bodies,
            "One pull point wherever the bends would pass 360 degrees.",
            "nec_bends_360",
        ),
    ):
        reason = because(text, source, bodies=count)
        values = {"raceway": method.fittings, "trade_size": plan.trade_size, "shape": shape}
        taking.parts.add("conduit_body", values, count, pointer, reason)
        taking.work.add("conduit_body", count, reason)
    _take_pull_boxes(taking, run, plan)
    _take_wall_boxes(taking, run, plan)


def _take_pull_boxes(taking: Taking, run: RunDesign, plan: RacewayPlan) -> None:
    if not plan.pull_boxes:
        return
    wanted = _pull_box_wanted(run, plan.trade_size)
    row = smallest_stocked_box(taking, wanted)
    if row is None:
        what = f"Run {run.index + 1} needs {plan.pull_boxes} pull boxes"
        tell_box_missing(taking, "PULL_BOX_NOT_TAKEN_OFF", what, wanted, run_pointer(run))
        return
    reason = because(
        "From 4 AWG on the smallest stocked box that is long enough for the pull."
        if wanted.straight_in
        else "Flexible conduit takes a box as its pull point: the smallest stocked one with the "
        "volume for its wires.",
        "nec_pull_box_straight" if wanted.straight_in else "nec_box_fill_counts",
        boxes=plan.pull_boxes,
        box=row.box,
        **wanted.figures,
    )
    put_up_boxes(taking, row, plan.pull_boxes, run, run_pointer(run), reason)
    taking.work.add("fitting_or_pull_box", plan.pull_boxes, reason)


def _take_wall_boxes(taking: Taking, run: RunDesign, plan: RacewayPlan) -> None:
    if not plan.wall_boxes:
        return
    asked = run.pull_box.angle_in if run.pull_box is not None else None
    wanted = BoxWanted(
        plan.trade_size,
        needs_rain_tight(run),
        angle_in=asked if asked is not None else inches(plan.trade_size) * _ANGLE_FACTOR,
    )
    row = smallest_stocked_box(taking, wanted)
    if row is None:
        what = f"Run {run.index + 1} needs {plan.wall_boxes} boxes where it turns into a wall"
        tell_box_missing(taking, "WALL_BOX_NOT_TAKEN_OFF", what, wanted, run_pointer(run))
        return
    reason = because(
        "From 4 AWG on wires turn into a wall in a box and not in a conduit body, unless one is "
        "marked for them: the smallest stocked box that is as wide as the turn asks.",
        "nec_pull_box_angle",
        boxes=plan.wall_boxes,
        box=row.box,
        **wanted.figures,
    )
    put_up_boxes(taking, row, plan.wall_boxes, run, run_pointer(run), reason)
    taking.work.add("fitting_or_pull_box", plan.wall_boxes, reason)


def _pull_box_wanted(run: RunDesign, trade_size: str) -> BoxWanted:
    weather, asked = needs_rain_tight(run), run.pull_box
    if asked is None:
        # A design without figures for its pull points: the rule's own factor.
        return BoxWanted(trade_size, weather, straight_in=inches(trade_size) * _STRAIGHT_FACTOR)
    if asked.straight_in is not None:
        return BoxWanted(trade_size, weather, straight_in=asked.straight_in)
    if asked.volume_in3 is not None:
        return BoxWanted(trade_size, weather, volume_in3=asked.volume_in3)
    return BoxWanted(trade_size, weather)
