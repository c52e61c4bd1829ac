"""The served pages in a real browser: started once for a module that asks for it."""

import shutil
import socket
import subprocess
import sys
import time
import urllib.error
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
    server = subprocess.Popen(
        [sys.executable, "-m", "estimator", "serve", "--port", str(port)],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    url = f"http://127.0.0.1:{port}"
    try:
        for _ in range(150):
            try:
                with urllib.request.urlopen(f"{url}/health", timeout=2):
                    break
            except (urllib.error.URLError, ConnectionError):
                time.sleep(0.1)
        yield url
    finally:
        server.terminate()
        server.wait(timeout=20)
