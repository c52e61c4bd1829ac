"""How a cabinet of transfer equipment is mounted, on a wall or between its studs."""

from estimator.basis import because
from estimator.job.records import Exposure
from estimator.takeoff.anchors import fasten
from estimator.takeoff.flush import take_flush_opening
from estimator.takeoff.taking import Taking

POINTER = "/transfer"


def enclosure_of(taking: Taking) -> str:
    """Enclosure type of transfer equipment in its place: 1 in the dry, else 3R."""
    return "1" if transfer_exposure(taking) == "dry" else "3R"


def transfer_exposure(taking: Taking) -> Exposure:
    """Exposure where the transfer equipment hangs, that of its run to the load centre."""
    for run in taking.design.runs:
        if run.to == "load_centre":
            return run.exposure
    return "dry"


def fasten_cabinet(taking: Taking, item: str, *, flush: bool) -> None:
    """Fasteners of the cabinet, a second pair of hands for a heavy one, the opened wall."""
    transfer = taking.job.transfer
    exposure = transfer_exposure(taking)
    fasten(taking, item, 1, transfer.surface, POINTER, exposure=exposure, flush=flush)
    held = taking.tables.mounted_items[item]
    alone = taking.tables.allowances["one_person_lift"]
    if held.weight_lb is not None and held.weight_lb > alone.value:
        reason = because(
            "The cabinet is too heavy for one person to lift and hold.",
            alone.source,
            weight_lb=held.weight_lb,
            one_person_lb=alone.value,
        )
        taking.work.add("second_person", 1, reason)
    if flush:
        take_flush_opening(taking)


def mount_cabinet(taking: Taking, item: str, task: str) -> None:
    """Fasteners and work of a cabinet that is made for both mountings.

    item: a row of mounted_items.csv. task: the labour task without its mounting.
    """
    transfer = taking.job.transfer
    flush = transfer.mounting == "flush"
    fasten_cabinet(taking, item, flush=flush)
    label = taking.tables.mounted_items[item].label
    mounted = because(
        f"The {label} goes {'into' if flush else 'on'} {transfer.surface.replace('_', ' ')}.",
        "job_description",
    )
    masonry = taking.tables.surfaces[transfer.surface].masonry
    taking.work.add(f"{task}_{transfer.mounting}", 1, mounted, masonry=masonry)
