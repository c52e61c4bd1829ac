"""The purchase of 40 parts from 5 suppliers beside a general solver: ours, then HiGHS.

``python -m tests.bench purchase``. Both get the same invented case: pieces, wire in
whole cuts, conduit in sticks, quantity breaks, minimum orders, delivery fees that are free above
a sum. The solver's time is that of scipy.optimize.milp alone, without making the program.
"""

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "catalogue"))

from catalogue_factory import price_list
from purchase_cases import large_case
from purchase_oracle import cost_of, program

from estimator.catalogue.match import index_items
from estimator.catalogue.purchase import plan_purchase
from tests.bench.measure import figures, print_row

SEEDS = range(40)
SOLVED = range(5)


def print_purchase() -> None:
    """Our time over all cases, the share proven and proven in a second; some beside the solver."""
    times: list[float] = []
    proven: list[bool] = []
    pairs: list[tuple[float, float]] = []
    for seed in SEEDS:
        case = large_case(seed)
        index = index_items([price_list(case.items)], "USD")
        start = time.perf_counter()
        plan = plan_purchase(case.parts, index, terms=case.terms)
        times.append(time.perf_counter() - start)
        proven.append(plan.optimal)
        if seed in SOLVED:
            made = program(case)
            start = time.perf_counter()
            least = made.least()
            solver = time.perf_counter() - start
            assert least is not None
            pairs.append((solver, times[-1]))
            print(
                f"purchase, case {seed}: ours {times[-1] * 1e3:.0f} ms, "
                f"HiGHS {solver * 1e3:.0f} ms; costs {cost_of(case, plan):.4f} and {least:.4f}"
            )
    print_row("purchase, 40 parts of 5 suppliers / HiGHS", figures(pairs))
    in_time = sum(one and took <= 1 for one, took in zip(proven, times, strict=True))
    print(
        f"purchase, {len(times)} cases: median {statistics.median(times) * 1e3:.0f} ms, most "
        f"{max(times) * 1e3:.0f} ms; {sum(proven)} proven, {in_time} of them within a second"
    )
