"""What a person at the pages waits for: python -m tests.bench pages"""

import statistics
import time

from playwright.sync_api import Page, Response, ViewportSize

from estimator.web.app import create_app
from tests.web.browser import CHROMIUM, WIDTHS, chromium, served

EDITS = 50
# A slow typist who reads each question first.
KEY_MS, FIELD_MS, READING_MS = 200, 1_000, 4_000
# The measure of the Layout Instability specification: shifts that no input has just caused.
WATCH_JUMPS = """() => {
  window.jumps = 0;
  new PerformanceObserver((list) => {
    for (const one of list.getEntries()) if (!one.hadRecentInput) window.jumps += one.value;
  }).observe({type: "layout-shift", buffered: true});
}"""
JOB = (
    "circuit=Refrigerator&breaker=20&poles=1&running=180&starting=1200"
    "&circuit=Well+pump&breaker=20&poles=2&running=1000&starting=3000"
    "&circuit=Furnace&breaker=15&poles=1&running=700&starting=1800"
    "&wall=concrete_block&run=18&inlet=L14-30&prices=sample"
)


def main() -> None:
    """Print what a person waits for: the first estimate, the page's weight, jumps, edits."""
    if CHROMIUM is None:
        print("what a person waits for: left out, the browser is not installed")
        return
    with served() as address, chromium() as browser:
        for name, width in WIDTHS.items():
            print(first_minute(browser.new_page(viewport=sized(width)), address, name))
        times = edits(browser.new_page(viewport=sized(WIDTHS["desk"])), address)
    print(f"the page of an estimate alone, made in the process: {page_ms():.1f} ms")
    print(
        f"edit to new estimate on the page, {len(times)} edits: median "
        f"{statistics.median(times):.0f} ms, slowest {max(times):.0f} ms"
    )


def sized(width: int) -> ViewportSize:
    """A window of that width [px]."""
    return {"width": width, "height": 900}


def first_minute(page: Page, address: str, name: str) -> str:
    """How long a newcomer takes from opening the page to the first estimate, as a line.

    Reads before each question, types key by key; the waits are what people take, not what the
    program does.
    """
    answers: list[Response] = []
    page.on("response", lambda one: answers.append(one))
    start = time.monotonic()
    page.goto(address)
    page.wait_for_load_state("networkidle")
    weight, files = sum(len(one.body()) for one in answers), len(answers)
    page.evaluate(WATCH_JUMPS)
    page.wait_for_timeout(READING_MS)
    for field, keys in (
        ("circuit", "Kitchen refrigerator"), ("running", "180"), ("starting", "1200"),
    ):  # fmt: skip
        page.locator(f"[name={field}]").first.press_sequentially(keys, delay=KEY_MS)
        page.wait_for_timeout(FIELD_MS)
    for field, choice in (("wall", "concrete_block"), ("inlet", "L14-30")):
        page.wait_for_timeout(READING_MS)
        page.select_option(f"[name={field}]", choice)
    page.locator("[name=run]").press_sequentially("18 ft", delay=KEY_MS)
    page.locator(".sums .total strong").wait_for()
    took = time.monotonic() - start
    jumps = page.evaluate("window.jumps")
    return (
        f"{name}: opening to first estimate {took:.0f} s with reading and typing; first page "
        f"{weight / 1000:.0f} kB in {files} files; layout shift {jumps:.3f}"
    )


def page_ms() -> float:
    """Median of the time in which the service makes the page after an edit [ms]."""
    client, times = create_app().test_client(), []
    for edit in range(EDITS):
        start = time.perf_counter()
        body = JOB.replace("run=18", f"run={19 + edit}")
        answer = client.post(
            "/", data=body, content_type="application/x-www-form-urlencoded",
            headers={"HX-Request": "true"},
        )  # fmt: skip
        times.append((time.perf_counter() - start) * 1e3)
        assert answer.status_code == 200
    return statistics.median(times)


def edits(page: Page, address: str) -> list[float]:
    """Milliseconds from the change of a field to the new length on the route."""
    page.goto(f"{address}/?{JOB}")
    times = []
    for edit in range(EDITS):
        wanted = f"{19 + edit} ft"
        times.append(
            page.evaluate(
                """async (wanted) => {
                      const field = document.querySelector("[name=run]");
                      const start = performance.now();
                      field.value = wanted;
                      field.dispatchEvent(new Event("change", {bubbles: true}));
                      for (;;) {
                        const run = document.querySelector(".route .run");
                        if (run && run.textContent.includes(wanted)) break;
                        await new Promise((go) => requestAnimationFrame(go));
                      }
                      return performance.now() - start;
                    }""",
                wanted,
            )
        )
    return times


if __name__ == "__main__":
    main()
