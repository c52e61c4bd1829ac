"""An automatic switch ahead of the load centre, and what of it cannot be counted."""

from estimator.basis import because
from estimator.takeoff.cabinets import POINTER, enclosure_of, fasten_cabinet
from estimator.takeoff.ground_bars import largest_bar, take_ground_bar
from estimator.takeoff.taking import Taking


def take_automatic_switch(taking: Taking) -> None:
    """The switch with mounting and connecting; exclusions are findings."""
    transfer, design = taking.job.transfer, taking.design.transfer
    service = taking.job.load_centre.role == "service"
    reason = because(
        "Ahead of the service panel the switch is itself service equipment."
        if service
        else "Ahead of a load centre that is fed by a feeder.",
        "nec_transfer_equipment",
        rating_a=design.rating_a,
    )
    taking.parts.add(
        "automatic_transfer_switch",
        {
            "rating_a": str(design.rating_a),
            "service": "service-rated" if service else "not service-rated",
            "neutral": "switched" if transfer.switched_neutral else "unswitched",
            "enclosure": enclosure_of(taking),
        },
        1,
        POINTER,
        reason,
    )
    fasten_cabinet(taking, "automatic_switch", flush=False)
    if transfer.mounting == "flush":
        _tell_no_flush(taking)
    work = because(
        "Mounting, the utility's outage, landing of all conductors in the switch and the moved "
        "bond are one piece of work."
        if service
        else "Mounting, cutting the feeder and landing of all conductors in the switch are one "
        "piece of work.",
        "own_labour_table",
    )
    taking.work.add("mount_automatic_service" if service else "mount_automatic_switch", 1, work)
    if service:
        _separate_grounds(taking)
    _tell_not_counted(taking)


def _separate_grounds(taking: Taking) -> None:
    terminals = largest_bar(taking)
    take_ground_bar(taking, terminals, "/load_centre", "load centre")
    taking.find(
        "warning",
        "SERVICE_SIDE_NOT_TAKEN_OFF",
        "The utility's conductors to the switch, their raceway with its grounding bushings and the "
        "longer electrode conductor are in neither parts nor hours. A ground bar of "
        f"{terminals} terminals is taken off for the load centre, whose circuits are not all told.",
        POINTER,
        "nec_service_raceway",
        "Have the service side planned with the utility and add it by hand; count the grounds of "
        "the load centre.",
    )


def _tell_no_flush(taking: Taking) -> None:
    taking.find(
        "error",
        "AUTOMATIC_SWITCH_NOT_FLUSH",
        "The automatic switch is to be flush, but its cabinet is deeper than a stud bay and made "
        "for the surface; it is taken off as surface-mounted.",
        "/transfer/mounting",
        "nec_listing_instructions",
        "Set transfer.mounting to surface.",
    )


def _tell_not_counted(taking: Taking) -> None:
    job = taking.job
    if job.transfer.load_management:
        taking.find(
            "warning",
            "LOAD_MANAGEMENT_NOT_TAKEN_OFF",
            "Which loads the load management sheds is not told, so its modules and their wires "
            "are in neither parts nor hours.",
            "/transfer/load_management",
            "nec_capacity_automatic",
            "Count a module and its control wire for each load that is shed, and add them by hand.",
        )
    if not job.supply.portable:
        taking.find(
            "warning",
            "CONTROL_WIRES_NOT_TAKEN_OFF",
            "The wires by which the switch starts and watches the supply differ from make to "
            "make; they are in neither parts nor hours.",
            POINTER,
            "nec_listing_instructions",
            "Take cable and hours from the instructions of switch and supply.",
        )
