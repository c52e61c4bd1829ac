"""The served pages, opened by a real browser."""

import subprocess
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import needs_browser, served

pytestmark = needs_browser
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with served() as url:
        yield url


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
    with urllib.request.urlopen(f"{address}/static/house.css", timeout=5) as answer:
        assert answer.headers["Content-Type"].startswith("text/css")


def test_the_interface_page_names_every_field_of_a_circuit(address: str, tmp_path: Path) -> None:
    page = browse(f"{address}/api/resources/estimates", tmp_path, "--dump-dom")

    for field in ("breaker_a", "running_w", "shared_neutral_with", "life_support"):
        assert f"<code>{field}</code>" in page
