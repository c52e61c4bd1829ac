"""Memory and connections of running processes, as the system tells them."""

from collections.abc import Mapping
from pathlib import Path

import psycopg

# At the end no process may hold more than at half time by this factor and so many MiB.
GROWTH = 1.10
MARGIN_MIB = 16.0
MOST_MIB = 600.0
_ESTABLISHED = "01"


def family(name: str, pid: int) -> dict[str, int]:
    """A process and those that it started, by name."""
    found = {name: pid}
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return found | {f"{name}.{place}": int(child) for place, child in enumerate(children, 1)}


def resident_mib(pid: int) -> float:
    """Memory of a process now [MiB]; 0 for one that is gone."""
    try:
        told = Path(f"/proc/{pid}/status").read_text()
    except OSError:
        return 0.0
    found = [line.split()[1] for line in told.splitlines() if line.startswith("VmRSS:")]
    return int(found[0]) / 1024 if found else 0.0


def memory(pids: Mapping[str, int]) -> dict[str, float]:
    return {name: resident_mib(pid) for name, pid in pids.items()}


def grown(half: Mapping[str, float], end: Mapping[str, float]) -> list[str]:
    """Processes that hold more than the bound allows, or that are gone."""
    told = []
    for name, mib in end.items():
        bound = min(half[name] * GROWTH + MARGIN_MIB, MOST_MIB)
        if not 0 < mib <= bound:
            told.append(f"{name}: {mib:.0f} MiB, bound {bound:.0f}")
    return told


def connections(port: int) -> int:
    """Connections to a port of this machine that are open, seen from the server's side."""
    count = 0
    for line in Path("/proc/net/tcp").read_text().splitlines()[1:]:
        words = line.split()
        count += int(words[1].rpartition(":")[2], 16) == port and words[3] == _ESTABLISHED
    return count


def database_connections(url: str) -> int:
    """Connections to a database of PostgreSQL; 0 for SQLite."""
    if not url.startswith("postgresql"):
        return 0
    with psycopg.connect(url) as connection:
        row = connection.execute(
            "SELECT count(*) FROM pg_stat_activity"
            " WHERE datname = current_database() AND pid <> pg_backend_pid()"
        ).fetchone()
    return int(row[0]) if row else 0
