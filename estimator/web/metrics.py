"""Figures for monitoring in the text format of Prometheus, of all processes of a host together."""

import hmac
import os
import time

from flask import Flask, Response, current_app, g, request
from prometheus_client import (
    CONTENT_TYPE_LATEST,
    REGISTRY,
    CollectorRegistry,
    Counter,
    Gauge,
    Histogram,
    generate_latest,
)
from prometheus_client.multiprocess import MultiProcessCollector

from estimator.config import Config
from estimator.web.problem import problem

FOLDER_VARIABLE = "PROMETHEUS_MULTIPROC_DIR"
_SECONDS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30)

_requests = Counter("estimator_requests", "Requests answered.", ("method", "route", "status"))
_seconds = Histogram(
    "estimator_request_seconds", "Time to answer a request.", ("route",), buckets=_SECONDS
)
_running = Gauge(
    "estimator_requests_running", "Requests being answered.", multiprocess_mode="livesum"
)


def add_metrics(app: Flask) -> None:
    """Count requests, and tell the figures at /metrics."""

    @app.before_request
    def begin() -> None:
        g.counted_from = time.perf_counter()
        _running.inc()

    @app.after_request
    def count(answer: Response) -> Response:
        # Rules only: a figure for each address would never end.
        route = request.url_rule.rule if request.url_rule else "none"
        method = request.method if request.url_rule else "other"
        _requests.labels(method, route, str(answer.status_code)).inc()
        begun_at: float | None = g.get("counted_from")
        if begun_at is not None:
            _seconds.labels(route).observe(time.perf_counter() - begun_at)
        return answer

    @app.teardown_request
    def end(_error: BaseException | None) -> None:
        if g.pop("counted_from", None) is not None:
            _running.dec()

    app.add_url_rule("/metrics", "metrics", show_metrics)


def show_metrics() -> Response:
    """The figures; in shared mode for who sends the secret of the settings."""
    settings: Config = current_app.config["ESTIMATOR"]
    if settings.mode == "shared":
        given = request.headers.get("Authorization", "").encode()
        wanted = f"Bearer {settings.metrics_token}".encode()
        if not settings.metrics_token or not hmac.compare_digest(given, wanted):
            return problem(404, "There is nothing at this address.")
    registry: CollectorRegistry = REGISTRY
    if os.environ.get(FOLDER_VARIABLE):
        registry = CollectorRegistry()
        MultiProcessCollector(registry)  # type: ignore[no-untyped-call]
    return Response(generate_latest(registry), content_type=CONTENT_TYPE_LATEST)
