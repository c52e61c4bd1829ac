"""The served pages in a real browser: started once for a module that asks for it."""

import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

CHROMIUM = shutil.which("chromium")
needs_browser = pytest.mark.skipif(CHROMIUM is None, reason="the browser is not installed")


def free_port() -> int:
    """A port of this machine that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@contextmanager
def served() -> Iterator[str]:
    """Address of the service, started as a user starts it."""
    port = free_port()
    folder = tempfile.mkdtemp(prefix="estimator_served_")
    own = {"ESTIMATOR_DATABASE_URL": f"sqlite:///{folder}/estimator.sqlite"}
    server = subprocess.Popen(
        [sys.executable, "-m", "estimator", "serve", "--port", str(port)],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env={**os.environ, **own},
    )  # fmt: skip
    url = f"http://127.0.0.1:{port}"
    try:
        for _ in range(150):
            try:
                with urllib.request.urlopen(f"{url}/health", timeout=2):
                    break
            except OSError:  # refused, or too slow as yet
                time.sleep(0.1)
        yield url
    finally:
        server.terminate()
        server.wait(timeout=20)
        shutil.rmtree(folder, ignore_errors=True)
