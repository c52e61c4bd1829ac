"""Work of building a raceway: in proportion to its length, plus its bends."""

from decimal import Decimal

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.raceway_plan import RacewayPlan
from estimator.takeoff.taking import Taking


def take_raceway_labour(taking: Taking, run: RunDesign, plan: RacewayPlan) -> None:
    """Building of a raceway run; flexible conduit counts as at least one piece."""
    row = taking.tables.run_labour[run.wiring_method, plan.trade_size]
    flexible = taking.tables.methods[run.wiring_method].form == "flexible"
    steps = run.length_ft / row.step_ft
    reason = because(
        "The work of a raceway goes with its length.",
        row.source,
        run_ft=run.length_ft,
        step_ft=row.step_ft,
    )
    taking.work.add(row.task, max(Decimal(1), steps) if flexible else steps, reason)
    bends = because(
        "Conduit of this size is bent by hand, a bend up to 90 degrees at a time.",
        row.source,
        bends_deg=sum(run.bends_deg),
    )
    taking.work.add("field_bend", plan.field_bends, bends)
