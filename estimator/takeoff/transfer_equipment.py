"""The transfer equipment of the job's method, with its breakers and its place."""

from estimator.basis import because
from estimator.takeoff.automatic import take_automatic_switch
from estimator.takeoff.breakers import take_equipment_breakers
from estimator.takeoff.cabinets import POINTER, mount_cabinet
from estimator.takeoff.interlock import take_interlock
from estimator.takeoff.subpanel import take_subpanel
from estimator.takeoff.surge import take_surge_protector
from estimator.takeoff.taking import Taking


def take_transfer_equipment(taking: Taking) -> None:
    """Switch, interlock, subpanel or automatic switch, complete."""
    method = taking.job.transfer.method
    if method == "manual_switch":
        _take_manual_switch(taking)
    elif method == "interlock":
        take_interlock(taking)
    elif method == "subpanel":
        take_subpanel(taking)
    else:
        take_automatic_switch(taking)
    take_equipment_breakers(taking)
    take_surge_protector(taking)


def _take_manual_switch(taking: Taking) -> None:
    transfer, design = taking.job.transfer, taking.design.transfer
    whip = (
        "its whip, conduit and conductors with it, is part of the listed switch"
        if any(run.factory_whip for run in taking.design.runs)
        else "the wiring to the load centre is run in the field"
    )
    reason = because(
        f"One switch with a position a pole that is backed up; {whip}. Inlet box and cord are "
        "needs of their own, so that a kit may cover them together.",
        "nec_transfer_equipment",
        positions=design.spaces,
        positions_needed=design.spaces_needed,
        rating_a=design.rating_a,
    )
    taking.parts.add(
        "transfer_switch",
        {
            "method": "manual transfer switch",
            "positions": str(design.spaces),
            "rating_a": str(design.rating_a),
            "neutral": "switched" if transfer.switched_neutral else "unswitched",
            "whip": "factory" if transfer.factory_whip else "no",
            "mounting": transfer.mounting,
        },
        1,
        POINTER,
        reason,
    )
    mount_cabinet(taking, "transfer_switch", "mount_switch")
