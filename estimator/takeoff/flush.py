"""What a switch set flush between studs needs besides its fasteners."""

from estimator.basis import because
from estimator.takeoff.taking import Taking

_PLATES_A_BORED_STUD = 2
_PATCH_SQFT = "2"


def take_flush_opening(taking: Taking) -> None:
    """Nail plates at the bored stud and a patch for the opened drywall."""
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
    if taking.tables.surfaces[surface].drywall:
        patch = because(
            "The wall is opened to bore and to feed the whip, and closed again.",
            "common_practice",
        )
        taking.parts.add("drywall_patch", {"area_sqft": _PATCH_SQFT}, 1, "/transfer", patch)
        taking.work.add("drywall_patch", 1, patch)
