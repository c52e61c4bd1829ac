"""Ratios of our own work to a floor measured in the same run: python -m tests.bench"""

import gc
import io
import json
import platform
import statistics
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

from flask import Flask, Response, request

from estimator import usecases
from estimator.documents.result_json import result_document
from estimator.documents.workbook import write_workbook
from estimator.job.read import read_job_document

ROOT = Path(__file__).parents[2]
DAY = date(2025, 10, 1)
ROUNDS = 15


def bare_echo() -> Flask:
    """The smallest Flask application that parses a JSON body and answers it."""
    app = Flask("echo")

    @app.post("/")
    def echo() -> Response:
        return Response(json.dumps(request.get_json()), content_type="application/json")

    return app


def call(app: Flask, body: bytes) -> None:
    """One request through the WSGI interface, without a test client around it."""
    environ = {
        "REQUEST_METHOD": "POST", "PATH_INFO": "/", "SERVER_NAME": "localhost",
        "SERVER_PORT": "80", "SERVER_PROTOCOL": "HTTP/1.1", "wsgi.url_scheme": "http",
        "wsgi.input": io.BytesIO(body), "CONTENT_LENGTH": str(len(body)),
        "CONTENT_TYPE": "application/json",
    }  # fmt: skip
    for _ in app(environ, lambda *_: lambda _: None):
        pass


def seconds(work: Callable[[], object], count: int) -> float:
    """Seconds for one call, averaged over ``count`` calls."""
    gc.collect()
    start = time.perf_counter()
    for _ in range(count):
        work()
    return (time.perf_counter() - start) / count


def paired(floor: Callable[[], object], work: Callable[[], object], counts: tuple[int, int]) -> str:
    """Floor and work measured in turn, and the median of their ratios."""
    floor(), work()
    pairs = [(seconds(floor, counts[0]), seconds(work, counts[1])) for _ in range(ROUNDS)]
    ratios = [ours / bare for bare, ours in pairs]
    bare = statistics.median(pair[0] for pair in pairs)
    ours = statistics.median(pair[1] for pair in pairs)
    return (
        f"{bare * 1e3:9.3f} {ours * 1e3:9.3f} {statistics.median(ratios):8.2f}"
        f"   {min(ratios):.2f} to {max(ratios):.2f}"
    )


def main() -> None:
    """Print the table of ratios."""
    name = "six_circuit_block.yaml"
    document = read_job_document((ROOT / "catalog_samples/jobs" / name).read_bytes(), name)
    lists = sorted((ROOT / "catalog_samples/price_lists").glob("*.csv"))
    files = [(path.name, path.read_bytes()) for path in lists]
    catalogue = usecases.read_catalogue(files)
    body = json.dumps(document, default=str).encode()
    app = bare_echo()
    estimate = usecases.estimate_job(document, catalogue, today=DAY)

    def whole() -> str:
        return json.dumps(result_document(usecases.estimate_job(document, catalogue, today=DAY)))

    print(f"Python {sys.version.split()[0]}, {platform.machine()}, {ROUNDS} rounds; milliseconds")
    print(f"{'':44} {'floor':>9} {'ours':>9} {'ratio':>8}   spread")
    rows: list[tuple[str, Callable[[], object], Callable[[], object], tuple[int, int]]] = [
        (
            "estimate / bare Flask echo of the same body",
            lambda: call(app, body),
            lambda: usecases.estimate_job(document, catalogue, today=DAY),
            (200, 20),
        ),
        ("estimate and its JSON text / the same echo", lambda: call(app, body), whole, (200, 20)),
        (
            "workbook / estimate",
            lambda: usecases.estimate_job(document, catalogue, today=DAY),
            lambda: write_workbook(estimate),
            (5, 1),
        ),
        (
            "three price lists read / their bytes split",
            lambda: [data.decode().splitlines() for _, data in files],
            lambda: usecases.read_catalogue(files),
            (20, 2),
        ),
    ]
    for title, floor, work, counts in rows:
        print(f"{title:44} {paired(floor, work, counts)}")


if __name__ == "__main__":
    main()
