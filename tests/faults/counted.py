"""How often each fault is made to happen, and the line that each test prints of it."""

import os

# More rounds find what a few do not; ``pytest -s`` shows the lines.
ROUNDS = int(os.environ.get("ESTIMATOR_FAULT_ROUNDS", "1"))


def told(fault: str, database: str, rounds: int, kept: int, lost: int) -> None:
    """Print a row: rounds, things that were reported kept, lost or half-written ones."""
    print(f"{fault:28} {database:10} {rounds:5} rounds {kept:6} kept {lost:4} lost")
