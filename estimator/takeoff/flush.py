"""What a cabinet set flush between studs needs besides its fasteners."""

from estimator.basis import because
from estimator.job.records import Surface
from estimator.sizing.records import RunDesign
from estimator.takeoff.consumables import use_up
from estimator.takeoff.entries import switch_knockouts
from estimator.takeoff.fasteners import CARBIDE
from estimator.takeoff.taking import Taking
from estimator.units import inches, trade_rank

_PLATES_A_BORED_STUD = 2
_PATCH_SQFT = "2"


def take_flush_opening(taking: Taking) -> None:
    """The bored stud with its plates, and a patch for the opened drywall."""
    surface = taking.job.transfer.surface
    if (surface, "flush") not in taking.tables.anchors:
        return
    plates = because(
        "The way to the load centre is bored through a stud, whose two faces get a plate each.",
        "nec_bored_holes",
    )
    taking.parts.add(
        "nail_plate", {"thickness_in": "1/16"}, _PLATES_A_BORED_STUD, "/transfer", plates
    )
    _bore(taking)
    cut_opening(taking, surface, "/transfer")
    _close(taking)


def cut_opening(taking: Taking, surface: Surface, asked_by: str) -> None:
    """What cuts the opening for a box or cabinet in a wall, and the bag for its dust."""
    row = taking.tables.surfaces[surface]
    if row.cut_with is None:
        return
    wall = surface.replace("_", " ")
    cut = because(f"The opening in {wall} is cut with it.", row.source)
    use_up(taking, row.cut_with, 1, asked_by, cut)
    if CARBIDE in row.hole_bit:
        dust = because(
            f"Cutting {wall} makes silica dust, as much as a hole through it at least.",
            "osha_1926_1153",
        )
        use_up(taking, "dust_bag", int(taking.allowance("wall_hole_dust")), asked_by, dust)


def _bore(taking: Taking) -> None:
    """The bit that bores the stud for what leads to the load centre."""
    tables = taking.tables
    surface = tables.surfaces[taking.job.transfer.surface]
    sizes = [size for run in taking.design.runs for size in _size(taking, run)]
    if not sizes or surface.stud_bit is None:
        return
    hole = tables.wall_holes[max(sizes, key=trade_rank)].hole_in
    reason = because(
        "The stud beside the bay is bored for the raceway to the load centre.",
        surface.source,
        hole_in=hole,
    )
    taking.fasteners.drill((surface.stud_bit, hole), 1, "/transfer", reason, wears_out=False)
    most = tables.allowances["largest_bore"]
    if inches(hole) > most.value:
        taking.find(
            "warning",
            "STUD_BORED_LARGE",
            f"The raceway to the load centre wants a {hole} in hole; a bearing 2 x 4 stud may "
            f"lose {most.value} in at most (two fifths of its depth).",
            "/transfer/mounting",
            most.source,
            "Bore a stud that bears nothing, double it, use a deeper wall or mount on the surface.",
        )


def _size(taking: Taking, run: RunDesign) -> tuple[str, ...]:
    if run.to != "load_centre":
        return ()
    if run.factory_whip:
        return tuple(switch_knockouts(taking, "whip")[:1])
    return () if run.trade_size is None else (run.trade_size,)


def _close(taking: Taking) -> None:
    surface = taking.job.transfer.surface
    if taking.tables.surfaces[surface].drywall:
        patch = because(
            "The wall is opened to bore and to feed the wiring through, and closed again.",
            "common_practice",
        )
        taking.parts.add("drywall_patch", {"area_sqft": _PATCH_SQFT}, 1, "/transfer", patch)
        taking.work.add("drywall_patch", 1, patch)
        taking.find(
            "note",
            "PAINT_EXCLUDED",
            "The opened drywall is patched and smoothed; paint and painting are in neither parts "
            "nor hours.",
            "/transfer/mounting",
            "own_convention",
            "Agree who paints, and add paint and hours by hand if it is you.",
        )
        return
    taking.find(
        "note",
        "FINISH_EXCLUDED",
        f"The cabinet is cut into {surface.replace('_', ' ')}; trim and repair of that finish "
        "beyond sealing are in neither parts nor hours.",
        "/transfer/mounting",
        "own_convention",
        "Agree who mends the finish, and add it by hand if it is you.",
    )
