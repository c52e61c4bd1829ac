"""The served pages, opened by a real browser."""

import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(not shutil.which("chromium"), reason="the browser is not installed")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    port = free_port()
    server = subprocess.Popen(
        [sys.executable, "-m", "estimator", "serve", "--port", str(port)],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    url = f"http://127.0.0.1:{port}"
    try:
        for _ in range(100):
            try:
                with urllib.request.urlopen(f"{url}/health", timeout=2):
                    break
            except (urllib.error.URLError, ConnectionError):
                time.sleep(0.1)
        yield url
    finally:
        server.terminate()
        server.wait(timeout=20)


def browse(url: str, profile: Path, *flags: str) -> str:
    return subprocess.run(
        ["chromium", *FLAGS, f"--user-data-dir={profile}", *flags, url],
        capture_output=True, text=True, timeout=90, check=True,
    ).stdout  # fmt: skip


@pytest.mark.parametrize(
    ("path", "heading"),
    [("/", "From four facts to a checked, priced estimate"), ("/api/", "REST interface")],
)
def test_a_page_opens_with_its_heading_and_its_caution(
    address: str, tmp_path: Path, path: str, heading: str
) -> None:
    page = browse(address + path, tmp_path, "--dump-dom")

    assert f"<h1>{heading}" in page
    assert "licensed electrician" in page
    assert "None" not in page


def test_the_style_sheet_is_served(address: str) -> None:
    with urllib.request.urlopen(f"{address}/static/plain.css", timeout=5) as answer:
        assert answer.headers["Content-Type"].startswith("text/css")


def test_the_interface_page_names_every_field_of_a_circuit(address: str, tmp_path: Path) -> None:
    page = browse(f"{address}/api/", tmp_path, "--dump-dom")

    for field in ("breaker_a", "running_w", "shared_neutral_with", "life_support"):
        assert f"<code>{field}</code>" in page
