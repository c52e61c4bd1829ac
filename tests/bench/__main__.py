"""Ratios of our own work to a floor measured in the same run: python -m tests.bench [NAME ...]

Each bench runs in a process of its own, so that the peak of memory beside it is its own. With
no names all run; ``--list`` lists them. ``--rows`` makes the long ones shorter; of quotes there is
one for a hundred rows.
"""

import argparse
import os
import platform
import subprocess
import sys
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from functools import partial
from importlib import import_module
from importlib.metadata import version
from pathlib import Path

from tests.bench.measure import HEAD, peak_mib

ROOT = Path(__file__).parents[2]
# Those that take a number of rows.
LONG = ("reading", "import", "search", "match", "quotes", "reprice")
# Name: module, function that prints its rows, what it is about.
BENCHES: Mapping[str, tuple[str, str, str]] = {
    "estimate": ("estimate_bench", "print_estimate", "one estimate beside a bare echo"),
    "http": ("http_bench", "print_http", "the same over HTTP with two workers"),
    "documents": ("documents_bench", "print_documents", "workbook and papers"),
    "growth": ("growth_bench", "print_growth", "from 4 to 400 circuits"),
    "purchase": ("purchase_bench", "print_purchase", "the purchase plan beside a solver"),
    "reading": ("catalogue_bench", "print_reading", "1,000,000 rows read"),
    "import": ("store_bench", "print_import", "1,000,000 rows stored; minutes, about 2 GB"),
    "size": ("size_bench", "print_size", "room that kept things take"),
    "search": ("search_bench", "print_search", "words in 1,000,000 kept items"),
    "match": ("match_bench", "print_match", "100 parts in 1,000,000 kept items"),
    "quotes": ("quotes_bench", "print_quotes", "one and a page of 10,000 kept quotes"),
    "reprice": ("reprice_bench", "print_reprice", "10,000 quotes priced anew; half an hour"),
    "pages": ("pages_bench", "main", "from an edit to the new page in a browser"),
}
LIBRARIES = ("flask", "sqlalchemy", "openpyxl", "marshmallow", "gunicorn", "typst")


def machine() -> str:
    """Day, machine and versions, as the head of the table."""
    libraries = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    load = ", ".join(f"{part:.1f}" for part in os.getloadavg())
    return (
        f"{datetime.now(UTC).date()}, {os.cpu_count()} cores {platform.machine()}, load {load}, "
        f"Python {platform.python_version()}, {libraries}"
    )


def function_of(name: str) -> Callable[..., None]:
    """What prints the rows of a bench."""
    module, function, _ = BENCHES[name]
    found: Callable[..., None] = getattr(import_module(f"tests.bench.{module}"), function)
    return found


def run_apart(name: str, rows: int | None) -> bool:
    """Whether a bench, run in a process of its own, came to its end."""
    words = [sys.executable, "-m", "tests.bench", "--here", name]
    words += [] if rows is None else ["--rows", str(rows)]
    return subprocess.run(words, check=False, cwd=ROOT).returncode == 0


def run_here(name: str, rows: int | None) -> bool:
    """Run a bench in this process and print the peak of its memory."""
    function_of(name)(*([rows] if rows is not None and name in LONG else []))
    print(f"{name}: peak of the process {peak_mib():.0f} MiB", flush=True)
    return True


def main() -> int:
    """Print the table of the benches that are named."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(BENCHES))
    parser.add_argument("--list", action="store_true", help="what there is")
    parser.add_argument("--here", action="store_true", help="in this process, without a head")
    parser.add_argument("--rows", type=int, help="rows of the long lists, 1,000,000 unless given")
    asked = parser.parse_args()
    unknown = [name for name in asked.names if name not in BENCHES]
    if unknown:
        parser.error(f"no bench is called {', '.join(unknown)}; there are {', '.join(BENCHES)}")
    if asked.list:
        print("\n".join(f"{name:10} {about}" for name, (_, _, about) in BENCHES.items()))
        return 0
    if not asked.here:
        print(machine(), HEAD, sep="\n", flush=True)
    run = partial(run_here if asked.here else run_apart)
    ended = [run(name, asked.rows) for name in asked.names or BENCHES]
    return 0 if all(ended) else 1


if __name__ == "__main__":
    sys.exit(main())
