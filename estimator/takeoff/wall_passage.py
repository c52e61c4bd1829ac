"""Where a run goes through a wall: the hole, its bit and its seal."""

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.consumables import use_up
from estimator.takeoff.taking import Taking, run_pointer


def take_wall_passages(taking: Taking, run: RunDesign, hole_in: str) -> None:
    """Holes of a run through walls: labour, bit, seal and, on siding, a block around the hole.

    hole_in: diameter of the hole [in].
    """
    count = run.wall_penetrations
    if not count:
        return
    surface = taking.tables.surfaces[run.surface]
    pointer = run_pointer(run)
    reason = because(
        f"The run goes through a wall of {run.surface.replace('_', ' ')}.",
        surface.source,
        holes=count,
        hole_in=hole_in,
    )
    taking.work.add(surface.hole_task, count, reason)
    taking.fasteners.drill((surface.hole_bit, hole_in), count, pointer, reason, wears_out=False)
    if surface.siding:
        block = because("A block gives the fitting a flat seat on siding.", surface.source)
        taking.parts.add("mounting_block", {"for": "conduit entry"}, count, pointer, block)
    seal = because(
        "A quarter pound of sealing compound at each wall between outside and inside.",
        "nec_seal_temperature",
        plugs=count,
    )
    use_up(taking, "duct_seal", count, pointer, seal)
