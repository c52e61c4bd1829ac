"""How long many different questions take: the middle and the slowest of twenty."""

import statistics
import time
from collections.abc import Sequence

from tests.bench.measure import Work, figures, print_row

ROUNDS = 5
Asked = tuple[Work, Work]


def print_latencies(title: str, asked: Sequence[Asked], more: str = "") -> None:
    """One row: medians of floor and ours, their ratio, and how long 95 of 100 take at most.

    asked: (floor, ours) of each question. They take turns, and the first round does not count.
    """
    bare: list[float] = []
    ours: list[float] = []
    pairs: list[tuple[float, float]] = []
    for round_ in range(ROUNDS + 1):
        took = [(_seconds(floor), _seconds(work)) for floor, work in asked]
        if round_:
            bare += [each for each, _ in took]
            ours += [each for _, each in took]
            pairs.append((statistics.median(bare), statistics.median(ours)))
    ninety_five = f"95 of 100 in {slow_ms(ours):.1f} ms, floor {slow_ms(bare):.1f} ms"
    print_row(title, figures(pairs), f"{ninety_five}{', ' + more if more else ''}")


def slow_ms(seconds: Sequence[float]) -> float:
    """What 95 of 100 stay below [ms]."""
    return 1e3 * statistics.quantiles(seconds, n=20)[-1]


def _seconds(work: Work) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start
