"""Ratios of our own work to a floor measured in the same run: python -m tests.bench"""

import gc
import io
import json
import math
import platform
import statistics
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

from flask import Flask, Response, request
from flask.testing import FlaskClient

from estimator import usecases
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.documents.workbook import write_workbook
from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.sizing.design import design_job
from estimator.sizing.tables import load_sizing_tables
from tests.bench.documents_bench import print_documents

ROOT = Path(__file__).parents[2]
DAY = date(2025, 10, 1)
Work = Callable[[], object]
ROUNDS = 9
BATCHES = 8


def bare_echo() -> Flask:
    """The smallest Flask application that parses a JSON body and answers it."""
    app = Flask("echo")

    @app.post("/")
    def echo() -> Response:
        return Response(json.dumps(request.get_json()), content_type="application/json")

    return app


def wsgi_call(app: Flask, body: bytes) -> None:
    """One request through the WSGI interface, without a test client around it."""
    environ = {
        "REQUEST_METHOD": "POST", "PATH_INFO": "/", "SERVER_NAME": "localhost",
        "SERVER_PORT": "80", "SERVER_PROTOCOL": "HTTP/1.1", "wsgi.url_scheme": "http",
        "wsgi.input": io.BytesIO(body), "CONTENT_LENGTH": str(len(body)),
        "CONTENT_TYPE": "application/json",
    }  # fmt: skip
    for _ in app(environ, lambda *_: lambda _: None):
        pass


def client_call(client: FlaskClient, body: bytes) -> None:
    """The same request as Flask's own tests make it."""
    client.post("/", data=body, content_type="application/json")


def seconds(work: Work, count: int) -> float:
    """Seconds for one call, averaged over ``count`` calls."""
    start = time.perf_counter()
    for _ in range(count):
        work()
    return (time.perf_counter() - start) / count


def paired(floor: Work, work: Work, counts: tuple[int, int], rounds: int = ROUNDS) -> str:
    """The median over the rounds of floor, work and their ratio, with the ratio's spread.

    In each round floor and work take turns in short batches, and the quickest batch of each
    counts: whatever else the machine does then slows both alike or not at all.
    """
    floor(), work()
    pairs: list[tuple[float, float]] = []
    for _ in range(rounds):
        gc.collect()
        batches = [(seconds(floor, counts[0]), seconds(work, counts[1])) for _ in range(BATCHES)]
        pairs.append((min(bare for bare, _ in batches), min(ours for _, ours in batches)))
    ratios = [ours / bare for bare, ours in pairs]
    bare = statistics.median(pair[0] for pair in pairs)
    ours = statistics.median(pair[1] for pair in pairs)
    return (
        f"{bare * 1e3:9.3f} {ours * 1e3:9.3f} {statistics.median(ratios):8.2f}"
        f"   {min(ratios):.2f} to {max(ratios):.2f}"
    )


def sizing_of(circuits: int, to_switch: int, to_load_centre: int) -> tuple[Work, int]:
    """Work that designs a job of so many circuits and runs, and the wires in its design."""
    document = {
        "circuits": [
            {
                "name": f"Circuit {number}",
                "breaker_a": 20 if number % 2 else 15,
                "running_w": 100 + number * 37 % 400,
                "starting_w": 900,
            }
            for number in range(circuits)
        ],
        "mounting_surface": "brick",
        "run_length_ft": 2 * to_switch,
        "inlet": "L14-30",
        "transfer": {"factory_whip": False},
        "runs": [{"from": "inlet", "to": "transfer", "length_ft": 2}] * to_switch
        + [{"from": "transfer", "to": "load_centre", "length_ft": 3}] * to_load_centre,
    }
    job = describe_job(document, DAY).job
    tables = load_sizing_tables()
    design = design_job(job, tables)
    wires = sum(conductor.count for run in design.runs for conductor in run.conductors)
    return lambda: design_job(job, tables), wires


def n_log_n(small: int, large: int) -> float:
    """How many times the work of n log n grows from a small n to a large one."""
    return large * math.log(large) / (small * math.log(small))


def print_growth() -> None:
    """How sizing grows with the job, beside what n log n would be.

    All circuits are in each run from the switch, so with many of those n is their wires.
    """
    small, few_wires = sizing_of(4, 1, 1)
    large, _ = sizing_of(400, 199, 1)
    everywhere, many_wires = sizing_of(400, 100, 100)
    for title, work, counts, bound in (
        ("size 400 circuits, 199 + 1 runs / 4, 1 + 1", large, (40, 1), n_log_n(4 + 2, 400 + 200)),
        (
            "size 400 circuits, 100 + 100 runs / 4, 1 + 1",
            everywhere,
            (200, 1),
            n_log_n(few_wires, many_wires),
        ),
    ):
        rounds = 1 if work is everywhere else ROUNDS
        print(f"{title:44} {paired(small, work, counts, rounds)}   n log n {bound:.0f}")


def main() -> None:
    """Print the table of ratios."""
    name = "six_circuit_block.yaml"
    document = read_job_document((ROOT / "catalog_samples/jobs" / name).read_bytes(), name)
    lists = sorted((ROOT / "catalog_samples/price_lists").glob("*.csv"))
    files = [(path.name, path.read_bytes()) for path in lists]
    catalogue = usecases.read_catalogue(files)
    body = json.dumps(document, default=str).encode()

    def one_estimate() -> FullEstimate:
        return usecases.estimate_job(document, catalogue, today=DAY)

    def with_text() -> str:
        return json.dumps(result_document(one_estimate()))

    app = bare_echo()
    client = app.test_client()
    estimate = one_estimate()

    def in_wsgi() -> None:
        wsgi_call(app, body)

    def in_client() -> None:
        client_call(client, body)

    print(f"Python {sys.version.split()[0]}, {platform.machine()}, {ROUNDS} rounds; milliseconds")
    print(f"{'':44} {'floor':>9} {'ours':>9} {'ratio':>8}   spread")
    rows: list[tuple[str, Work, Work, tuple[int, int]]] = [
        ("estimate / bare Flask echo, WSGI call", in_wsgi, one_estimate, (50, 5)),
        ("estimate / bare Flask echo, test client", in_client, one_estimate, (25, 5)),
        ("estimate and JSON text / echo, WSGI call", in_wsgi, with_text, (50, 5)),
        ("estimate and JSON text / echo, test client", in_client, with_text, (25, 5)),
        ("workbook / estimate", one_estimate, lambda: write_workbook(estimate), (5, 1)),
        (
            "three price lists read / their bytes split",
            lambda: [data.decode().splitlines() for _, data in files],
            lambda: usecases.read_catalogue(files),
            (20, 2),
        ),
    ]
    for title, floor, work, counts in rows:
        print(f"{title:44} {paired(floor, work, counts)}")
    print_documents(estimate, one_estimate, paired)
    print_growth()


if __name__ == "__main__":
    main()
