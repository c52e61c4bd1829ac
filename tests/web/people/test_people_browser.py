"""Shared mode in a real browser on a phone: first owner, sign in, questions, sign out; forms."""

import os
import re
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, sync_playwright
from web.browser import CHROMIUM, free_port, needs_browser

import estimator.web.pages

PASSWORD = "seven invented words"
TEMPLATES = Path(estimator.web.pages.__file__).parent / "templates"
# Sent without a session: whoever has the password or the secret in the address may; the last one
# carries the secret of the session that has just begun.
WITHOUT_SESSION = {"_sign_in_form.html", "join.html", "offer.html", "send_again.html"}


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A service in shared mode, set up as its README says."""
    folder, port = tmp_path_factory.mktemp("shared"), free_port()
    url = f"http://127.0.0.1:{port}"
    own = {
        "ESTIMATOR_MODE": "shared", "ESTIMATOR_PORT": str(port), "ESTIMATOR_PUBLIC_URL": url,
        "ESTIMATOR_DATABASE_URL": f"sqlite:///{folder / 'shared.sqlite'}",
    }  # fmt: skip
    environment = {**os.environ, **own}
    command = [sys.executable, "-m", "estimator"]
    subprocess.run([*command, "db", "upgrade"], env=environment, check=True)
    subprocess.run(
        [*command, "people", "add", "owner@example.org", "--name", "First Owner",
         "--organisation", "Invented Electric", "--password-stdin"],
        env=environment, check=True, input=PASSWORD.encode() + b"\n",
    )  # fmt: skip
    server = subprocess.Popen(
        [*command, "serve"], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    for _ in range(300):
        try:
            with urllib.request.urlopen(f"{url}/ready", timeout=5):
                break
        except (urllib.error.URLError, ConnectionError, TimeoutError):
            time.sleep(0.1)
    yield url
    server.terminate()
    server.wait(timeout=60)


@pytest.fixture
def page() -> Iterator[Page]:
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"]
        )
        yield browser.new_page(viewport={"width": 390, "height": 800})
        browser.close()


@needs_browser
def test_an_owner_signs_in_uses_the_pages_and_leaves(address: str, page: Page) -> None:
    page.goto(f"{address}/credit")
    assert page.url == f"{address}/sign-in?next=%2Fcredit"
    assert Axe().run(page).violations_count == 0

    page.fill("#email", "owner@example.org")
    page.fill("#password", "not the right words")
    page.click("main button")
    assert page.inner_text("[role=alert]") == "That address and password do not go together."
    page.fill("#password", PASSWORD)
    page.click("main button")
    assert page.url == f"{address}/credit"

    # The questions are sent while typing, with the secret of the session.
    page.goto(address)
    page.fill("input[name=circuit]", "Refrigerator")
    with page.expect_response(lambda answer: answer.request.method == "POST") as sent:
        page.fill("input[name=breaker]", "20")
    assert sent.value.status == 200

    page.goto(f"{address}/account")
    assert "owner of Invented Electric" in page.inner_text("main")
    assert Axe().run(page).violations_count == 0
    page.click("text=Sign out")
    assert page.url == f"{address}/sign-in"
    page.goto(address)
    assert page.url.startswith(f"{address}/sign-in")


@needs_browser
def test_a_sign_in_that_ends_while_typing_loses_nothing(address: str, page: Page) -> None:
    def sign_in() -> None:
        page.fill("#email", "owner@example.org")
        page.fill("#password", PASSWORD)
        page.click("main button")

    page.goto(f"{address}/sign-in")
    sign_in()
    page.goto(address)
    page.fill("input[name=circuit]", "Refrigerator")
    page.fill("input[name=running]", "180")
    page.select_option("select[name=wall]", "brick")
    page.context.clear_cookies()
    page.fill("input[name=run]", "18 ft")
    page.wait_for_selector("#answer[role=alert]")
    assert page.input_value("input[name=run]") == "18 ft"
    page.select_option("select[name=inlet]", "L14-30")
    page.click("#answer button")

    assert "Nothing of what you typed is lost" in page.inner_text("main")
    assert Axe().run(page).violations_count == 0
    sign_in()
    assert Axe().run(page).violations_count == 0
    page.click("text=Send it now")
    page.wait_for_selector(".sums")
    assert page.input_value("input[name=run]") == "18 ft"
    assert "18 ft" in page.inner_text("#way")


def test_every_form_of_ours_that_changes_something_carries_the_secret() -> None:
    forms = [
        (file.name, form)
        for file in sorted(TEMPLATES.glob("*.html"))
        for form in re.findall(r'<form[^>]*method="post".*?</form>', file.read_text(), re.S)
        if file.name not in WITHOUT_SESSION
    ]

    assert len(forms) > 5
    assert [(name, form[:80]) for name, form in forms if "csrf_field()" not in form] == []
