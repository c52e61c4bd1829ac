"""How the benches measure, and the one form in which they print."""

import gc
import statistics
import time
from collections.abc import Callable
from pathlib import Path

Work = Callable[[], object]
ROUNDS = 9
BATCHES = 8
WIDTH = 46
HEAD = f"{'':{WIDTH}} {'floor ms':>10} {'ours ms':>10} {'ratio':>8}   spread of the ratio"
_STATUS = Path("/proc/self/status")


def seconds(work: Work, count: int) -> float:
    """Seconds for one call, averaged over ``count`` calls."""
    start = time.perf_counter()
    for _ in range(count):
        work()
    return (time.perf_counter() - start) / count


def paired(floor: Work, work: Work, counts: tuple[int, int], rounds: int = ROUNDS) -> str:
    """The median over the rounds of floor, work and their ratio, with the ratio's spread.

    In each round floor and work take turns in short batches, and the quickest batch of each
    counts: whatever else the machine does then slows both alike or not at all.
    """
    floor(), work()
    pairs: list[tuple[float, float]] = []
    for _ in range(rounds):
        gc.collect()
        batches = [(seconds(floor, counts[0]), seconds(work, counts[1])) for _ in range(BATCHES)]
        pairs.append((min(bare for bare, _ in batches), min(ours for _, ours in batches)))
    return figures(pairs)


def figures(pairs: list[tuple[float, float]]) -> str:
    """The columns of a row from (floor, ours) of each round [s]."""
    ratios = [ours / bare for bare, ours in pairs]
    bare = statistics.median(pair[0] for pair in pairs)
    ours = statistics.median(pair[1] for pair in pairs)
    return (
        f"{bare * 1e3:10.3f} {ours * 1e3:10.3f} {statistics.median(ratios):8.2f}"
        f"   {min(ratios):.2f} to {max(ratios):.2f}"
    )


def print_row(title: str, columns: str, more: str = "") -> None:
    """One row of the table."""
    print(f"{title:{WIDTH}} {columns}{'   ' + more if more else ''}", flush=True)


def peak_mib(status: Path = _STATUS) -> float:
    """Peak of the memory of a process so far [MiB], of this one unless another is named."""
    for line in status.read_text().splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) / 1024
    raise OSError("the system does not tell the memory of a process")
