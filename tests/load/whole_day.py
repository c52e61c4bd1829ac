"""A day of load on one kind of database: the service, its offices, the clients, the outcome."""

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from threading import Timer

from load.checks import Kept, look_after
from load.client import Desk
from load.clients import Day, day_of
from load.memory import connections, database_connections, family, grown, memory
from load.offices import open_office
from load.service import Service, serving
from store.databases import empty_postgres
from store.postgres_server import postgres_server

CLIENTS_OF_AN_OFFICE = 10


@dataclass
class Outcome:
    """seconds: how long the clients worked. memory: at start, half and end [MiB]."""

    day: Day
    kept: Kept
    seconds: float
    memory: dict[str, dict[str, float]]
    connections: int
    database_connections: int
    ended: list[str]

    @property
    def grown(self) -> list[str]:
        return grown(self.memory["half"], self.memory["end"])

    @property
    def failed(self) -> int:
        return len(self.day.unexpected) + len(self.kept.lost) + len(self.ended)


@contextmanager
def empty_database(kind: str) -> Iterator[str]:
    """The URL of a new database of a kind: "sqlite" or "postgresql"."""
    with ExitStack() as stack:
        if kind == "sqlite":
            folder = stack.enter_context(tempfile.TemporaryDirectory(prefix="estimator_load_"))
            yield f"sqlite:///{folder}/estimator.sqlite"
        else:
            yield stack.enter_context(empty_postgres(stack.enter_context(postgres_server())))


def load(kind: str, clients: int, duration_s: float, think_s: float) -> Outcome:
    """Let clients work on a service of their own, and look at what is left."""
    with empty_database(kind) as url:
        return load_database(url, clients, duration_s, think_s)


def load_database(url: str, clients: int, duration_s: float, think_s: float) -> Outcome:
    """The same on an empty database that is there already."""
    with serving(url) as service:
        count = max(1, clients // CLIENTS_OF_AN_OFFICE)
        offices = [open_office(service, each) for each in range(1, count + 1)]
        return _load(service, offices, clients, duration_s, think_s)


def _load(
    service: Service,
    offices: Sequence[tuple[str, Desk]],
    clients: int,
    duration_s: float,
    think_s: float,
) -> Outcome:
    pids: dict[str, int] = {}
    for name, process in service.processes.items():
        pids |= family(name, process.pid)
    seen = {"start": memory(pids)}
    half = Timer(duration_s / 2, lambda: seen.update(half=memory(pids)))
    half.start()
    began = time.monotonic()
    asked = {
        "port": service.port, "clients": clients, "duration_s": duration_s, "think_s": think_s,
        "offices": [(token, asdict(desk)) for token, desk in offices],
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, str(Path(__file__).with_name("clients.py"))],
        input=json.dumps(asked), stdout=subprocess.PIPE, text=True, check=True, env=_plain(),
    )  # fmt: skip
    took = time.monotonic() - began
    day = day_of(json.loads(done.stdout))
    kept = look_after(service.port, day)
    half.join()
    seen["end"] = memory(pids)
    ended = [f"{name} ended" for name in service.processes if name not in service.running()]
    return Outcome(
        day, kept, took, seen, connections(service.port), database_connections(service.url), ended
    )


def _plain() -> dict[str, str]:
    return {name: value for name, value in os.environ.items() if name != "PYTHONSAFEPATH"}
