"""An automatic switch: everything in the load centre is transferred without a hand."""

from estimator.basis import because
from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.equipment import Equipment
from estimator.sizing.feed import Feed


def automatic_rating_a(job: Job, feed: Feed) -> int:
    """Rating of the switch [A]: as stated, and never below the inlet."""
    return max(job.transfer.rating_a, feed.inlet.amps)


def choose_automatic_switch(job: Job, feed: Feed) -> tuple[Equipment, tuple[Finding, ...]]:
    """The switch by its rating; it has no positions, the circuits stay in the load centre."""
    rating = automatic_rating_a(job, feed)
    reasons = (
        because(
            "Carries the load centre's main and the inlet, whichever is larger",
            "nec_transfer_equipment",
            main_a=job.load_centre.main_a,
            inlet_a=feed.inlet.amps,
            transfer_a=rating,
        ),
        because(
            "Load management keeps what is on within the supply"
            if job.transfer.load_management
            else "Without load management the supply has to carry all that is transferred",
            "nec_capacity_automatic",
        ),
        because("All circuits stay in the load centre behind the switch", "own_convention"),
    )
    findings = (*_below_main(job, rating), *_whole_load(job), *_by_hand(job), *_service(job))
    return Equipment(0, rating, 0, None, (), reasons), findings


def _below_main(job: Job, rating: int) -> list[Finding]:
    main = job.load_centre.main_a
    if rating >= main:
        return []
    return [
        Finding(
            "error",
            "AUTOMATIC_SWITCH_BELOW_MAIN",
            f"The automatic switch is rated {rating} A, but on the utility the load centre may "
            f"draw {main} A through it before its main opens.",
            "/transfer/rating_a",
            "nec_transfer_equipment",
            f"Use a switch of {main} A or more, a main of {rating} A, or a subpanel with only the "
            "circuits that matter.",
        )
    ]


def _whole_load(job: Job) -> list[Finding]:
    if job.transfer.load_management:
        text = "The loads that load management sheds have to be wired to it."
        remedy = (
            "Say in the panel's directory which circuits are shed first, and test it on the supply."
        )
    else:
        text = (
            "All of the load centre is transferred; the load study counts only what the job lists "
            f"({len(job.circuits)})."
        )
        remedy = (
            "List every circuit of the load centre with its load, or add load management and set "
            "transfer.load_management."
        )
    return [
        Finding(
            "note" if job.transfer.load_management else "warning",
            "AUTOMATIC_TRANSFERS_ALL",
            text,
            "/transfer/load_management",
            "nec_capacity_automatic",
            remedy,
        )
    ]


def _by_hand(job: Job) -> list[Finding]:
    if not job.supply.portable:
        return []
    return [
        Finding(
            "warning",
            "AUTOMATIC_SWITCH_WITH_CORD",
            "A portable supply has to be brought, plugged in and started by hand, so an automatic "
            "switch gains nothing and transfers whatever is on at that moment.",
            "/transfer/method",
            "nec_capacity_automatic",
            "Use an interlock, a subpanel or a manual_switch, or a fixed supply.",
        )
    ]


def _service(job: Job) -> list[Finding]:
    if job.load_centre.role == "service":
        return [
            Finding(
                "warning",
                "LOAD_CENTRE_BECOMES_SUBPANEL",
                "The switch goes ahead of the service panel: it has to be rated as service "
                "equipment, takes the service disconnect and the neutral's bond, and the load "
                "centre behind it becomes a subpanel.",
                "/load_centre/role",
                "nec_subpanel_neutral",
                "Use a service-rated switch, move the bond and the grounding electrode conductor "
                "to it, and separate neutral and ground in the load centre.",
            ),
            Finding(
                "warning",
                "UTILITY_SIDE_NOT_DESIGNED",
                "The utility's conductors to the switch are service conductors; they are not "
                "designed here and may not be in the raceway to the load centre.",
                "/transfer/method",
                "nec_service_raceway",
                "Have the utility side planned by a licensed electrician with the utility, which "
                "has to cut the power.",
            ),
        ]
    return [
        Finding(
            "note",
            "FEEDER_CUT_INTO",
            "The load centre's feeder is cut at the load centre, led to the switch and back.",
            "/load_centre/role",
            "nec_panel_splices",
            "Splice the feeder in the load centre only where there is room, or in a pull box.",
        )
    ]
