"""The real service, started as an office starts it: gunicorn, and workers of the queue."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).parents[2]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@dataclass
class Service:
    """root: where the code is. Its processes by name, each with its log in the folder."""

    url: str
    folder: Path
    settings: Mapping[str, str] = field(default_factory=dict)
    root: Path = ROOT
    port: int = field(default_factory=free_port)
    processes: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)

    @property
    def environment(self) -> dict[str, str]:
        return {
            **os.environ,
            "ESTIMATOR_MODE": "shared",
            "ESTIMATOR_PUBLIC_URL": f"http://127.0.0.1:{self.port}",
            "ESTIMATOR_DATABASE_URL": self.url,
            "ESTIMATOR_PORT": str(self.port),
            "ESTIMATOR_WORKERS": "2",
            "ESTIMATOR_STOP_SECONDS": "10",
            # The limits are not what is tried here.
            "ESTIMATOR_REQUESTS_PER_MINUTE": "1000000",
            # An older version of the code must not find this one.
            "PYTHONPATH": str(self.root),
            "PYTHONSAFEPATH": "1",
            **self.settings,
        }

    def command(self, *words: str, given: str | None = None) -> str:
        """What a command said; it must go well."""
        done = self.tried(*words, given=given)
        if done.returncode:
            raise RuntimeError(f"{words}: {done.stdout}{done.stderr}")
        return done.stdout

    def tried(self, *words: str, given: str | None = None) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "estimator", *words], input=given,
            cwd=self.root, env=self.environment, capture_output=True, text=True, check=False,
        )  # fmt: skip

    def start(self, *, workers: int = 1) -> None:
        """The web processes, and workers where there is a queue; returns when it is ready."""
        self.begin("web", "serve")
        if self.url.startswith("postgresql"):
            for number in range(1, workers + 1):
                self.begin(f"worker {number}", "work")
        self.wait_until_ready()

    def wait_until_ready(self, within_s: float = 60) -> None:
        end = time.monotonic() + within_s
        while self.status("/ready") != 200:
            if time.monotonic() > end or self.processes["web"].poll() is not None:
                raise RuntimeError(f"the service is not ready:\n{self.log('web')[-3000:]}")
            time.sleep(0.1)

    def status(self, path: str) -> int:
        """The status of a GET; 0 for no answer."""
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{self.port}{path}", timeout=40) as got:
                return int(got.status)
        except urllib.error.HTTPError as error:
            return error.code
        except OSError:
            return 0

    def stop(self) -> None:
        """Ask all to end, and wait until they did."""
        for each in self.processes.values():
            each.send_signal(signal.SIGTERM)
        for each in self.processes.values():
            try:
                each.wait(timeout=40)
            except subprocess.TimeoutExpired:
                each.kill()
                each.wait()
        self.processes.clear()

    def running(self) -> list[str]:
        """Names of the processes that have not ended by themselves."""
        return [name for name, each in self.processes.items() if each.poll() is None]

    def log(self, name: str) -> str:
        return (self.folder / f"{name.replace(' ', '_')}.log").read_text()

    def begin(self, name: str, *words: str) -> None:
        with (self.folder / f"{name.replace(' ', '_')}.log").open("ab") as log:
            self.processes[name] = subprocess.Popen(
                [sys.executable, "-m", "estimator", *words],
                cwd=self.root, env=self.environment, stdout=log, stderr=log,
            )  # fmt: skip


@contextmanager
def serving(
    url: str, settings: Mapping[str, str] | None = None, *, workers: int = 1
) -> Iterator[Service]:
    """The service on a database, upgraded, while it lasts."""
    folder = Path(tempfile.mkdtemp(prefix="estimator_load_"))
    service = Service(url, folder, settings or {})
    try:
        service.command("db", "upgrade")
        service.start(workers=workers)
        yield service
    finally:
        service.stop()
        shutil.rmtree(folder, ignore_errors=True)
