"""From an edit to the new estimate on the page: python -m tests.bench.pages_bench"""

import shutil
import socket
import statistics
import subprocess
import sys
import time
import urllib.error
import urllib.request

from playwright.sync_api import sync_playwright

EDITS = 50
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
JOB = (
    "circuit=Refrigerator&breaker=20&poles=1&running=180&starting=1200"
    "&circuit=Well+pump&breaker=20&poles=2&running=1000&starting=3000"
    "&circuit=Furnace&breaker=15&poles=1&running=700&starting=1800"
    "&wall=concrete_block&run=18&inlet=L14-30&prices=sample"
)


def main() -> None:
    """Print the median and the largest of the times of many edits [ms], waiting time left out."""
    chromium = shutil.which("chromium")
    if chromium is None:
        print("edits on the page: left out, the browser is not installed")
        return
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "estimator", "serve", "--port", str(port)]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        times = measure(f"http://127.0.0.1:{port}", chromium)
    finally:
        server.terminate()
        server.wait(timeout=20)
    print(
        f"edit to new estimate on the page, {len(times)} edits: median "
        f"{statistics.median(times):.0f} ms, slowest {max(times):.0f} ms"
    )


def measure(address: str, chromium: str) -> list[float]:
    """Milliseconds from the change of a field to the new length on the route."""
    wait_for(f"{address}/health")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        page = browser.new_page(viewport={"width": 1280, "height": 900})
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
        browser.close()
    return times


def wait_for(url: str) -> None:
    """Return as soon as the service answers, for 15 s at most."""
    for _ in range(150):
        try:
            with urllib.request.urlopen(url, timeout=2):
                return
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.1)


if __name__ == "__main__":
    main()
