"""Estimates over HTTP with two workers, beside the echo route of the same server, on loopback."""

import json
import os
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.bench.http_server import ECHO
from tests.bench.measure import figures, peak_mib, print_row
from tests.bench.sample import DAY, DOCUMENT, ROOT, list_files

WORKERS = 2
CONNECTIONS = 4
SECONDS = 3.0
ROUNDS = 3


@contextmanager
def server(*words: str) -> Iterator[tuple[int, int]]:
    """A server of its own while it lasts: (port, process id)."""
    with tempfile.TemporaryDirectory() as folder, socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
        probe.close()
        running = subprocess.Popen(
            [sys.executable, "-m", "tests.bench.http_server", str(port), str(WORKERS), *words],
            cwd=ROOT,
            env={
                **os.environ,
                "ESTIMATOR_DATABASE_URL": f"sqlite:///{folder}/bench.sqlite",
                # Where the processes of a server add up their counts, as serve() tells them.
                "PROMETHEUS_MULTIPROC_DIR": folder,
            },
            stdout=subprocess.DEVNULL,
        )
        try:
            _wait(port)
            yield port, running.pid
        finally:
            running.terminate()
            running.wait(timeout=60)


def _wait(port: int) -> None:
    for _ in range(300):
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise OSError("the server does not answer")


def load(port: int, path: str, body: str, duration_s: float = SECONDS) -> list[float]:
    """Times of all answers in so many seconds [s]."""
    asked = {
        "port": port, "path": path, "body": body, "connections": CONNECTIONS,
        "seconds": duration_s,
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.http_load"],
        input=json.dumps(asked), text=True, capture_output=True, check=True, cwd=ROOT,
    )  # fmt: skip
    times: list[float] = json.loads(done.stdout)["times"]
    return times


def workers_mib(pid: int) -> list[float]:
    """Peak memory of each worker of a server [MiB]."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return [peak_mib(Path(f"/proc/{child}/status")) for child in children]


def print_http() -> None:
    """Seconds a request (both workers busy), latency at 50 and 95 of a hundred, memory."""
    lists = [{"name": name, "text": data.decode("utf-8-sig")} for name, data in list_files()]
    asked = {"job": DOCUMENT, "on": DAY.isoformat(), "catalogue": []}
    plain = json.dumps(asked, default=str)
    priced = json.dumps({**asked, "catalogue": lists}, default=str)
    with server() as (port, pid), server("bare") as (bare_port, bare_pid):
        for title, path, body, floor_port in (
            ("echo route / bare Flask echo", ECHO, plain, bare_port),
            ("estimate without prices / bare Flask echo", "/api/v1/estimates", plain, bare_port),
            ("estimate without prices / echo route", "/api/v1/estimates", plain, port),
            ("estimate with three lists sent / echo route", "/api/v1/estimates", priced, port),
        ):
            pairs, times = [], []
            load(port, path, body, SECONDS / 3)
            for _ in range(ROUNDS):
                floor, ours = load(floor_port, ECHO, body), load(port, path, body)
                pairs.append((SECONDS / len(floor), SECONDS / len(ours)))
                times += ours
            cuts = statistics.quantiles(times, n=100)
            more = f"answer in {cuts[49] * 1e3:.0f} ms, 95 of 100 in {cuts[94] * 1e3:.0f} ms"
            print_row(f"HTTP {title}", figures(pairs), more)
        memory = ", ".join(f"{peak:.0f}" for peak in workers_mib(pid))
        bare = ", ".join(f"{peak:.0f}" for peak in workers_mib(bare_pid))
        print(f"HTTP: peak of each worker {memory} MiB; of the bare echo's {bare} MiB", flush=True)
