"""Three people's paths through the pages in a real browser, on a phone and on a desk.

Accessibility by axe-core's rules for WCAG 2.0 to 2.2, levels A and AA.
"""

import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import WIDTHS, Watched, chromium, needs_browser, served, watch
from playwright.sync_api import Browser, Locator, Page, expect

pytestmark = needs_browser
each_width = pytest.mark.parametrize("width", WIDTHS.values(), ids=WIDTHS)


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with served() as url:
        yield url


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as started:
        yield started


@pytest.fixture
def watched(browser: Browser, address: str, width: int) -> Iterator[Watched]:
    context = browser.new_context(viewport={"width": width, "height": 900}, accept_downloads=True)
    yield watch(context, address, "data:")
    context.close()


def fill_row(page: Page, place: int, circuit: str, **values: str) -> None:
    row = page.locator(".row").nth(place)
    row.locator("[name=circuit]").fill(circuit)
    for name, value in values.items():
        row.locator(f"[name={name}]").fill(value)


def answer_four_questions(page: Page) -> None:
    fill_row(page, 0, "Kitchen refrigerator", breaker="20", running="180", starting="1200")
    page.select_option("[name=wall]", "concrete_block")
    page.fill("[name=run]", "18 ft")
    page.select_option("[name=inlet]", "L14-30")
    page.select_option("[name=prices]", "sample")
    expect(page.locator(".sums .total strong")).to_contain_text("USD")


def ground(cell: Locator) -> str:
    found: str = cell.evaluate("(cell) => getComputedStyle(cell).backgroundColor")
    return found


@each_width
def test_a_contractor_gets_a_priced_estimate_and_its_papers(
    watched: Watched, tmp_path: Path
) -> None:
    page = watched.page
    watched.open("/")
    watched.check()

    begun = time.monotonic()
    answer_four_questions(page)
    assert time.monotonic() - begun < 60

    page.locator(".route a", has_text="Run 1").click()
    expect(page.locator("#transfer")).to_be_hidden()
    lit = page.locator("#ledger tr[data-places~='run-0'] td").first
    unlit = page.locator("#ledger tr:not([data-places~='run-0']) td").first
    assert ground(lit) != ground(unlit)
    page.locator("#run-0 .decide summary").click()
    page.select_option("[name='/runs/0/wiring_method']", "PVC-40")
    expect(page.locator(".route")).to_contain_text("PVC-40")
    page.get_by_role("link", name="Price, labour, house and credit").click()
    page.locator("#job-terms-decide summary").click()
    page.fill("[name='/terms/markup_percent']", "25")
    before = page.locator(".sums .total strong").inner_text()
    expect(page.locator(".sums .total strong")).not_to_have_text(before)
    watched.check()

    with page.expect_download() as waited:
        page.locator(".papers a", has_text="Quote for the customer").click()
    waited.value.save_as(tmp_path / "quote.pdf")
    assert (tmp_path / "quote.pdf").read_bytes().startswith(b"%PDF")

    total = page.locator(".sums .total strong").inner_text()
    page.reload()
    expect(page.locator(".sums .total strong")).to_have_text(total)
    expect(page.locator("[name='/terms/markup_percent']")).to_have_value("25")


@each_width
def test_a_homeowner_compares_the_ways(watched: Watched) -> None:
    page = watched.page
    watched.open("/")
    answer_four_questions(page)

    page.get_by_role("link", name="Compare", exact=True).click()
    expect(page.get_by_role("heading", name="Do it oneself")).to_be_visible()
    own = page.locator(".way").first
    likely = own.locator("dt", has_text="Low, likely, high").locator("+ dd")
    before = likely.inner_text()
    page.get_by_label("What an own hour is worth to you").fill("60")
    expect(page.locator("#sliders strong").first).to_have_text("60")
    expect(likely).not_to_have_text(before)
    expect(own).to_contain_text("Own hours at that worth")
    page.get_by_label("Own hours for one of a tradesperson").press("End")
    expect(page).to_have_url(re.compile("own_speed_factor=6"))
    watched.check()
    page.locator(".ticks input").first.check()

    page.go_back()
    expect(page.locator("[name=circuit]").first).to_have_value("Kitchen refrigerator")


@each_width
def test_an_accountant_reads_verdict_authority_and_years(watched: Watched) -> None:
    page = watched.page
    watched.open("/")
    answer_four_questions(page)
    page.get_by_role("link", name="Credit", exact=True).click()
    page.get_by_label("On which day was the work finished").fill("2025-12-31")
    page.get_by_role("button", name="Answer, go on").click()
    expect(page.locator("#question h2")).to_contain_text("Question 2 of")
    answers = page.locator("#question tbody tr")
    expect(answers.filter(has_text="not a residence")).to_contain_text("0.00")
    page.get_by_role("link", name="Leave it assumed, go on").click()
    expect(page.locator("#question h2")).to_contain_text("Question 3 of")
    watched.check()

    page.get_by_role("link", name=re.compile("Question [0-9]+ ?: nameplate capacity")).click()
    page.get_by_label("Which capacity in kWh stands on its nameplate").fill("five")
    page.get_by_role("button", name="Answer, go on").click()
    expect(page.locator("#question .fault")).to_contain_text("five")
    watched.check()
    page.get_by_label("Which capacity in kWh stands on its nameplate").fill("5.1")
    page.get_by_role("button", name="Answer, go on").click()
    page.get_by_label("How much of it can be used").fill("4.8")
    page.get_by_role("button", name="Answer, go on").click()
    page.get_by_label("What does the supply cost").fill("3000")
    page.get_by_role("button", name="Answer, go on").click()
    expect(page.locator(".sums").first).to_contain_text("uncertain")
    expect(page.get_by_role("heading", name="The same job by year of completion")).to_be_visible()
    expect(page.locator("main")).to_contain_text("2025")
    expect(page.locator("main")).to_contain_text("not tax advice")
    watched.check()


@each_width
def test_everything_can_be_done_with_the_keyboard(watched: Watched) -> None:
    page = watched.page
    watched.open("/")
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    page.locator("[name=circuit]").first.focus()
    for keys in ("Kitchen refrigerator", "20", None, "180", "1200"):
        if keys:
            page.keyboard.press("Control+a")
            page.keyboard.type(keys)
        page.keyboard.press("Tab")
    expect(page.locator("#more")).to_be_focused()
    page.keyboard.press("Tab")
    page.keyboard.type("concrete")
    page.keyboard.press("Tab")
    page.keyboard.type("18 ft")
    page.keyboard.press("Tab")
    page.keyboard.type("L14-30")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator(".sums .total")).to_contain_text("without a price")
    watched.check()


@each_width
def test_without_scripts_four_answers_still_give_the_estimate(
    browser: Browser, address: str, width: int
) -> None:
    context = browser.new_context(
        viewport={"width": width, "height": 900}, java_script_enabled=False
    )
    page = context.new_page()
    page.goto(address)
    fill_row(page, 0, "Kitchen refrigerator", breaker="20", running="180")
    page.select_option("[name=wall]", "brick")
    page.fill("[name=run]", "12'")
    page.select_option("[name=inlet]", "L14-30")
    page.get_by_role("button", name="Estimate").click()

    expect(page.locator(".route")).to_contain_text("12 ft")
    expect(page.locator(".sums")).to_be_visible()
    context.close()


@each_width
def test_a_common_load_fills_in_its_typical_figures(watched: Watched) -> None:
    page = watched.page
    watched.open("/")

    fill_row(page, 0, "Well pump 1 hp")

    row = page.locator(".row").first
    expect(row.locator("[name=running]")).to_have_value("1840")
    expect(row.locator("[name=poles]")).to_have_value("2")
    page.locator("#more").click()
    expect(page.locator(".row")).to_have_count(2)


@each_width
def test_a_fault_is_told_while_typing_and_the_field_keeps_its_focus(watched: Watched) -> None:
    page = watched.page
    watched.open("/")
    answer_four_questions(page)

    page.locator("[name=run]").press_sequentially(" or so")

    expect(page.locator("#answer")).to_contain_text("18 ft or so")
    expect(page.locator("[name=run]")).to_be_focused()
    watched.check()


@each_width
@pytest.mark.parametrize(
    "path", ["/api/", "/api/resources/estimates", "/compare", "/credit", "/words"]
)
def test_every_other_page_is_accessible(path: str, watched: Watched) -> None:
    watched.open(path)
    watched.check()


@each_width
def test_a_contractor_quotes_and_the_customer_accepts(watched: Watched, width: int) -> None:
    page = watched.page
    watched.open("/")
    answer_four_questions(page)
    page.fill("[name=customer]", "Lakeside Lane (invented)")
    page.get_by_role("button", name="Keep as a quote").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Quote")
    watched.check()

    page.fill("[name='/labour/hourly_rate']", "150")
    expect(page.locator("#quote-sums")).not_to_contain_text("put right")
    page.get_by_role("button", name="Keep as revision 2").click()
    page.get_by_role("link", name="Changes to 1").click()
    expect(page.locator("table").first).to_contain_text("labour")
    watched.check()
    page.get_by_role("link", name="Back to the quote").click()

    for box in page.locator("[name=stated]").all():
        box.check()
    page.get_by_role("button", name="Send").click()
    expect(page.get_by_label("State")).to_contain_text("sent")
    page.get_by_role("button", name="Make a link").click()
    link = page.locator("[readonly]").input_value()
    watched.check()

    watched.open("/quotes")
    watched.check()
    page.goto(link)
    watched.check()
    page.fill("[name=name]", "Pat (invented)")
    page.get_by_role("button", name="I accept this quote").click()
    expect(page.get_by_role("status")).to_contain_text("accepted")
    watched.check()
