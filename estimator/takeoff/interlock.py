"""An interlock: the kit, and room for its breaker beside the main."""

from estimator.basis import because
from estimator.takeoff.taking import Taking

_SPACES_BESIDE_MAIN = 2


def take_interlock(taking: Taking) -> None:
    """The kit for the panel's family, fitted, and the breakers that make room for it."""
    centre = taking.job.load_centre
    kit = because(
        "One kit keeps main and back-fed breaker from being on together; it is made for one "
        "family of panels only. Inlet box and cord are needs of their own.",
        "nec_transfer_equipment",
        main_a=centre.main_a,
    )
    taking.parts.add("interlock_kit", {"main_a": str(centre.main_a)}, 1, "/transfer", kit)
    taking.work.add("fit_interlock", 1, kit)
    moved = because(
        "The back-fed breaker has to sit beside the main; the breakers that are there move to "
        "free spaces.",
        "common_practice",
        breakers=_SPACES_BESIDE_MAIN,
    )
    taking.work.add("move_breaker", _SPACES_BESIDE_MAIN, moved)
