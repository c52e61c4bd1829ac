"""How sizing grows with the job, beside what n log n would be."""

import math

from estimator.job.describe import describe_job
from estimator.sizing.design import design_job
from estimator.sizing.tables import load_sizing_tables
from tests.bench.measure import ROUNDS, Work, paired, print_row
from tests.bench.sample import DAY


def sizing_of(circuits: int, to_switch: int, to_load_centre: int) -> tuple[Work, int]:
    """Work that designs a job of so many circuits and runs, and the wires in its design."""
    document = {
        "circuits": [
            {
                "name": f"Circuit {number}",
                "breaker_a": 20 if number % 2 else 15,
                "running_w": 100 + number * 37 % 400,
                "starting_w": 900,
            }
            for number in range(circuits)
        ],
        "mounting_surface": "brick",
        "run_length_ft": 2 * to_switch,
        "inlet": "L14-30",
        "transfer": {"factory_whip": False},
        "runs": [{"from": "inlet", "to": "transfer", "length_ft": 2}] * to_switch
        + [{"from": "transfer", "to": "load_centre", "length_ft": 3}] * to_load_centre,
    }
    job = describe_job(document, DAY).job
    tables = load_sizing_tables()
    design = design_job(job, tables)
    wires = sum(conductor.count for run in design.runs for conductor in run.conductors)
    return lambda: design_job(job, tables), wires


def n_log_n(small: int, large: int) -> float:
    """How many times the work of n log n grows from a small n to a large one."""
    return large * math.log(large) / (small * math.log(small))


def print_growth() -> None:
    """From 4 circuits to 400.

    All circuits are in each run from the switch, so with many of those n is their wires.
    """
    small, few_wires = sizing_of(4, 1, 1)
    for title, runs, rounds in (
        ("size 400 circuits, 199 + 1 runs / 4, 1 + 1", (199, 1), ROUNDS),
        ("size 400 circuits, 100 + 100 runs / 4, 1 + 1", (100, 100), 1),
    ):
        large, wires = sizing_of(400, *runs)
        by_wires = runs[1] > 1
        bound = n_log_n(few_wires, wires) if by_wires else n_log_n(4 + 2, 400 + 200)
        counts = (200, 1) if by_wires else (40, 1)
        print_row(title, paired(small, large, counts, rounds), f"n log n {bound:.0f}")
