"""Price lists in a real browser: on a phone and on a desk, with keys alone and without scripts.

Accessibility by axe-core's rules for WCAG 2.0 to 2.2, levels A and AA.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import SAMPLES
from playwright.sync_api import Browser, expect
from web.browser import WIDTHS, chromium, needs_browser, served, watch

pytestmark = needs_browser
JOB = (
    "circuit=Refrigerator&breaker=20&poles=1&running=180&starting=1200"
    "&wall=concrete_block&run=18+ft&inlet=L14-30"
)
DESCRIBED = SAMPLES / "price_lists_other" / "descriptions_only.csv"
NORTH = SAMPLES / "price_lists" / "north_counter.csv"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as started:
        yield started


@pytest.fixture
def address(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """A service with a database of its own."""
    monkeypatch.setenv("ESTIMATOR_DATABASE_URL", f"sqlite:///{tmp_path}/kept.sqlite")
    with served() as url:
        yield url


@pytest.mark.parametrize("width", WIDTHS.values(), ids=WIDTHS)
def test_a_list_is_sent_its_items_confirmed_by_keys_and_a_job_priced_from_it(
    browser: Browser, address: str, width: int
) -> None:
    scheme = "dark" if width == WIDTHS["phone"] else "light"
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
    watched = watch(context, address, timeout_ms=20_000)
    page = watched.page
    page.goto(f"{address}/lists?{JOB}")
    watched.check()
    page.set_input_files("#file", DESCRIBED)
    page.get_by_role("button", name="Look at its columns").click()
    expect(page.get_by_label("Column D, Price, holds")).to_have_value("price")
    watched.check()
    page.get_by_role("button", name="Read the list").click()
    expect(page.get_by_role("heading", name="Rows that were not understood")).to_be_visible()
    watched.check()

    page.get_by_role("link", name="What the job at hand still lacks").click()
    watched.check()
    questions = page.locator(".questions-list li")
    count = questions.count()
    assert count > 20
    page.locator(".yes").first.focus()
    page.keyboard.press("n")
    expect(page.locator(".yes").nth(1)).to_be_focused()
    for left in (count - 1, count - 2):
        page.keyboard.press("y")
        expect(questions).to_have_count(left)
        expect(page.locator(".yes").first).to_be_focused()
    page.keyboard.press("Enter")
    expect(questions).to_have_count(count - 3)
    watched.check()

    page.get_by_role("link", name="Estimate with these lists").click()
    expect(page.locator("[name=prices]")).to_have_value("kept")
    expect(page.locator("#ledger")).to_contain_text("Cold Creek (invented) CC")
    total = page.locator(".sums .total strong").inner_text()
    page.fill("[name=run]", "60 ft")
    expect(page.locator(".sums .total strong")).not_to_have_text(total)
    watched.check()
    context.close()


def test_without_scripts_everything_goes_by_buttons(browser: Browser, address: str) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 900})
    page = watch(context, address, timeout_ms=20_000).page
    page.goto(f"{address}/lists?{JOB}")
    page.set_input_files("#file", {"name": "a.pdf", "mimeType": "x/y", "buffer": b"%PDF-1.7 x"})
    page.fill("#supplier", "Cold Creek (invented)")
    page.get_by_role("button", name="Look at its columns").click()
    expect(page.locator("#fault-file-1")).to_contain_text("PDF")
    expect(page.locator("#supplier")).to_have_value("Cold Creek (invented)")
    page.set_input_files("#file", DESCRIBED)
    page.get_by_role("button", name="Look at its columns").click()
    page.get_by_role("button", name="Read the list").click()
    page.get_by_role("link", name="What the job at hand still lacks").click()
    questions = page.locator(".questions-list li")
    count = questions.count()
    page.locator(".yes").first.click()
    expect(questions).to_have_count(count - 1)
    page.get_by_role("button", name="Take it back").click()
    expect(questions).to_have_count(count)
    page.go_back()
    page.reload()
    context.close()


def test_a_long_list_is_read_while_its_page_tells_how_far_it_is(
    browser: Browser, address: str
) -> None:
    lines = NORTH.read_text().splitlines()
    rows = [line.replace("NC-", f"N{copy}-") for copy in range(6) for line in lines[1:]]
    data = "\n".join([lines[0], *rows]).encode()
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    watched = watch(context, address, timeout_ms=20_000)
    page = watched.page
    page.goto(f"{address}/lists")
    page.set_input_files("#file", {"name": "long.csv", "mimeType": "text/csv", "buffer": data})
    page.get_by_role("button", name="Look at its columns").click()
    page.get_by_role("button", name="Read the list").click()

    expect(page.get_by_role("heading", name="Reading a price list")).to_be_visible()
    expect(page.get_by_role("progressbar", name="Reading")).to_be_visible()
    expect(page.get_by_role("heading", name="Prices out of line")).to_be_visible(timeout=30_000)
    expect(page.locator(".sums")).to_contain_text(f"{len(rows):,}")
    watched.check()
    context.close()
