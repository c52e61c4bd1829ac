"""python -m tests.load [--minutes 10] [--clients 50] [--think 2.5] [--database sqlite ...]

A mixed day of many clients on the real service (two web processes in shared mode; with
PostgreSQL a worker of the queue besides), bounded in time and on loopback only. Ends with 1
where an answer was not the expected one, something was lost, or memory grew beyond its bound.
"""

import argparse
import os
import platform
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from load.table import lines
from load.whole_day import load


def main() -> int:
    given = argparse.ArgumentParser(prog="python -m tests.load", description=__doc__)
    given.add_argument("--minutes", type=float, default=10.0)
    given.add_argument("--clients", type=int, default=50)
    given.add_argument("--think", type=float, default=2.5, help="mean time between requests [s]")
    given.add_argument(
        "--database", choices=("sqlite", "postgresql"), action="append", help="default both"
    )
    asked = given.parse_args()
    held = True
    for kind in asked.database or ("sqlite", "postgresql"):
        outcome = load(kind, asked.clients, asked.minutes * 60, asked.think)
        one, _, fifteen = os.getloadavg()
        title = (
            f"{kind}: {asked.clients} clients, {asked.minutes:g} min, {os.cpu_count()} cores, "
            f"load {one:.1f} ({fifteen:.1f} over 15 min), Python {platform.python_version()}"
        )
        print("\n".join(lines(title, outcome)), flush=True)
        held = held and not outcome.failed and not outcome.grown
    return 0 if held else 1


if __name__ == "__main__":
    sys.exit(main())
