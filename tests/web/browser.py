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
from dataclasses import dataclass, field

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

CHROMIUM = shutil.which("chromium")
WIDTHS = {"phone": 390, "desk": 1280}
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
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


@contextmanager
def chromium() -> Iterator[Browser]:
    """The browser, without a window."""
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield started
        started.close()


@dataclass
class Watched:
    """A page with what went wrong on it."""

    page: Page
    address: str
    complaints: list[str] = field(default_factory=list)

    def open(self, path: str) -> None:
        self.page.goto(self.address + path)

    def check(self) -> None:
        """No complaint, no request elsewhere, nothing that axe-core objects to, no overflow."""
        assert self.complaints == []
        found = Axe().run(self.page, options=RULES).response["violations"]
        assert [(one["id"], [node["html"] for node in one["nodes"]][:3]) for one in found] == []
        overflow = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert self.page.evaluate(overflow) <= 0


def watch(context: BrowserContext, address: str, *also: str, timeout_ms: int = 15_000) -> Watched:
    """A new page that is watched. also: how addresses begin that may be asked for besides."""
    context.set_default_timeout(timeout_ms)
    watched = Watched(context.new_page(), address)
    watched.page.on(
        "console",
        lambda said: watched.complaints.append(said.text) if said.type == "error" else None,
    )
    watched.page.on("pageerror", lambda error: watched.complaints.append(str(error)))
    watched.page.on(
        "request",
        lambda asked: (
            None if asked.url.startswith((address, *also)) else watched.complaints.append(asked.url)
        ),
    )
    return watched
