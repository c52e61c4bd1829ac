"""When a caution applies: named questions asked of the job."""

from collections.abc import Callable, Mapping

from estimator.job.records import Job

Trigger = Callable[[Job], bool]

HOLDS_SILICA = frozenset(
    {
        "poured_concrete", "concrete_block", "grouted_block", "brick", "stucco_on_block",
        "stucco_on_frame",
    }
)  # fmt: skip
LADDER_FACTORS = frozenset({"ladder", "high_ladder"})
MOTOR_START_RATIO = 3


def _surfaces(job: Job) -> set[str]:
    fixed = {job.inlet.surface, job.transfer.surface, job.load_centre.surface}
    return fixed | {run.surface for run in job.runs}


def _silica(job: Job) -> bool:
    return not HOLDS_SILICA.isdisjoint(_surfaces(job))


def _above_reach(job: Job) -> bool:
    return _outdoors(job) or not LADDER_FACTORS.isdisjoint(job.labour.factors)


def _ahead_of_service(job: Job) -> bool:
    return job.transfer.method == "automatic_switch" and job.load_centre.role == "service"


def _bars_apart(job: Job) -> bool:
    return job.transfer.method == "subpanel" or _ahead_of_service(job)


def _flush(job: Job) -> bool:
    return "flush" in (job.inlet.mounting, job.transfer.mounting)


def _outdoors(job: Job) -> bool:
    return (
        job.inlet.place != "indoor"
        or job.inlet.exposure == "wet"
        or any(run.place != "indoor" or run.exposure == "wet" for run in job.runs)
    )


def _underground(job: Job) -> bool:
    return any(run.place == "underground" for run in job.runs)


def _wall_penetration(job: Job) -> bool:
    return any(run.wall_penetrations for run in job.runs)


def _cut_wall(job: Job) -> bool:
    return _flush(job) or _wall_penetration(job) or any(run.finished_wall for run in job.runs)


def _neutral_conflict(job: Job) -> bool:
    return job.supply.neutral != "floating" and not job.transfer.switched_neutral


def _battery(job: Job) -> bool:
    return job.supply.kind in ("power_station", "battery")


def _aluminium(job: Job) -> bool:
    return any(run.conductor_material == "al" for run in job.runs) or any(
        circuit.conductor_material == "al" for circuit in job.circuits
    )


def _motor_start(job: Job) -> bool:
    return any(
        circuit.running_w > 0 and circuit.starting_w >= MOTOR_START_RATIO * circuit.running_w
        for circuit in job.circuits
    )


TRIGGERS: Mapping[str, Trigger] = {
    "above_reach": _above_reach,
    "ahead_of_service": _ahead_of_service,
    "always": lambda job: True,
    "aluminium": _aluminium,
    "automatic_switch": lambda job: job.transfer.method == "automatic_switch",
    "bars_apart": _bars_apart,
    "battery": _battery,
    "cut_wall": _cut_wall,
    "flush": _flush,
    "generator": lambda job: job.supply.kind == "generator",
    "ground_fault_outlet": lambda job: job.supply.outlet_gfci,
    "interlock": lambda job: job.transfer.method == "interlock",
    "life_support": lambda job: any(circuit.life_support for circuit in job.circuits),
    "manual_transfer": lambda job: job.transfer.method != "automatic_switch",
    "motor_start": _motor_start,
    "neutral_conflict": _neutral_conflict,
    "outdoors": _outdoors,
    "overcurrent_in_transfer": lambda job: job.transfer.method in ("manual_switch", "subpanel"),
    "own_work": lambda job: job.labour.skill == "own",
    "portable_station": lambda job: job.supply.portable and _battery(job),
    "protected_circuit": lambda job: any(
        circuit.protection != "standard" for circuit in job.circuits
    ),
    "silica": _silica,
    "shared_neutral": lambda job: any(
        circuit.shared_neutral_with is not None for circuit in job.circuits
    ),
    "supply_120_v": lambda job: job.supply.system == "120",
    "underground": _underground,
    "wall_penetration": _wall_penetration,
}
