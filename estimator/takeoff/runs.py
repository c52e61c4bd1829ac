"""Take-off of the runs, one after another, each by its wiring method."""

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.bodies import take_bodies
from estimator.takeoff.cable import take_cable
from estimator.takeoff.entries import switch_knockouts, take_entries
from estimator.takeoff.junction_boxes import take_junction_boxes
from estimator.takeoff.raceway import take_joints, take_lengths
from estimator.takeoff.raceway_plan import RacewayPlan, plan_raceway
from estimator.takeoff.risers import riser_of, tell_flexible_riser
from estimator.takeoff.run_labour import take_raceway_labour
from estimator.takeoff.seals import take_seal_and_drain
from estimator.takeoff.supports import take_straps, take_whip_straps
from estimator.takeoff.table_rows import MethodRow
from estimator.takeoff.taking import Taking, run_pointer
from estimator.takeoff.trench import take_trench
from estimator.takeoff.wall_passage import take_wall_passages
from estimator.takeoff.wire import take_conductors


def take_runs(taking: Taking) -> None:
    """Parts and work of every run, and of the boxes where runs join."""
    for run in taking.design.runs:
        if run.factory_whip:
            _take_factory_whip(taking, run)
            continue
        method = taking.method(run)
        if method.form == "cable":
            take_cable(taking, run, method)
        else:
            _take_raceway_run(taking, run, method)
        take_trench(taking, run)
    take_junction_boxes(taking)


def _take_raceway_run(taking: Taking, run: RunDesign, method: MethodRow) -> None:
    riser = riser_of(taking, run, method.riser)
    plan = plan_raceway(run, method, taking.allowance("cut_step"), riser)
    if plan is None:
        taking.find(
            "error",
            "RACEWAY_NOT_TAKEN_OFF",
            f"No trade size of {run.wiring_method} was found for run {run.index + 1}, so its "
            "raceway and fittings are not taken off; its wire is.",
            run_pointer(run),
            "own_convention",
            "Follow the findings of the design for this run first.",
        )
        take_conductors(taking, run, 0)
        return
    _take_planned(taking, run, method, plan)
    tell_flexible_riser(taking, run, riser)


def _take_planned(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    take_lengths(taking, run, method, plan)
    take_joints(taking, run, method, plan)
    take_bodies(taking, run, method, plan)
    take_entries(taking, run, method, plan)
    take_straps(taking, run, method, plan)
    take_wall_passages(taking, run, taking.tables.wall_holes[plan.trade_size].hole_in)
    take_raceway_labour(taking, run, plan)
    take_seal_and_drain(taking, run, plan)
    take_conductors(taking, run, plan.boxes)


def _take_factory_whip(taking: Taking, run: RunDesign) -> None:
    take_whip_straps(taking, run, switch_knockouts(taking, "whip")[0])
    reason = because(
        "The whip comes with the switch; its far end is brought into the load centre.",
        "nec_listing_instructions",
        whip_ft=run.length_ft,
    )
    taking.work.add("connect_whip", 1, reason)
