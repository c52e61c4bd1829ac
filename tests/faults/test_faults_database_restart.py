"""PostgreSQL is stopped and started again while clients work.

What was answered as kept is there afterwards, whatever could not be done is told as 503, and
neither the service nor its worker has to be started anew.
"""

import json
import tempfile
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from faults.counted import ROUNDS, told
from load.checks import look_after
from load.client import Desk
from load.clients import Day, run_clients
from load.line import NO_ANSWER, Line
from load.offices import open_office
from load.service import Service, serving
from store.databases import empty_postgres
from store.postgres_server import SETTINGS, OwnServer, find_binaries

IMPORTS = 8
CSV = "text/csv"


@pytest.fixture(scope="module")
def server() -> Iterator[OwnServer]:
    """A server of the test's own, that keeps what it says it keeps."""
    with tempfile.TemporaryDirectory(prefix="estimator_pg_", ignore_cleanup_errors=True) as name:
        made = OwnServer(
            Path(name), find_binaries(Path(name)), SETTINGS | {"synchronous_commit": "on"}
        )
        made.make()
        made.start()
        yield made
        made.stop()


@pytest.fixture(scope="module")
def service(server: OwnServer) -> Iterator[Service]:
    with empty_postgres(server.url) as url, serving(url) as running:
        yield running


@pytest.mark.parametrize("mode", ["immediate", "fast"])
def test_a_restart_under_load_loses_nothing(server: OwnServer, service: Service, mode: str) -> None:
    token, desk = open_office(service, 1 if mode == "immediate" else 2)
    quotes, kept, again = 1, 0, 0
    for number in range(ROUNDS):
        day = Day()

        def work(day: Day = day, number: int = number) -> None:
            got = run_clients(
                service.port, [(token, desk)], 5, 6.0, think_s=0.1, again_s=60, seed=number
            )
            vars(day).update(vars(got))

        clients = threading.Thread(target=work)
        clients.start()
        time.sleep(1.0 + 0.3 * (number % 7))
        asked = ask_imports(service, token, desk)
        server.stop(mode)
        away = problem_at(service, "/ready"), problem_at(service, "/api/v1/quotes", token)
        server.start()
        clients.join()
        day.made[token].imports += asked

        assert [each["status"] for each in away] == [503, 503]
        assert "cannot be reached" in away[1]["detail"]
        assert day.unexpected == []
        found = look_after(service.port, day, quotes)
        assert found.lost == []
        assert service.running() == ["web", "worker 1"]
        assert service.status("/ready") == 200
        statuses = {each.status for each in day.answers}
        # Now and then a connection ends without an answer; its request is sent again, with its key.
        assert statuses <= {200, 201, 202, 503, NO_ANSWER}, statuses
        quotes += len(day.made[token].quotes)
        kept, again = kept + found.total, again + day.asked_again
    assert again > 0, "nothing was asked while the database was away"
    told(f"database restart, {mode}", "postgresql", ROUNDS, kept, 0)


def ask_imports(service: Service, token: str, desk: Desk) -> list[str]:
    """Ask for so many tasks that the worker is at one of them when the database goes."""
    line = Line(service.port, token)
    path, headers = f"/tasks/import/{desk.catalogue}?file_name=list.csv", {"Content-Type": CSV}
    asked = []
    for _ in range(IMPORTS):
        data = desk.price_list.replace(",0.41,", f",{uuid4().int % 900 / 100 + 0.1:.2f},").encode()
        answer = line.ask("ask", "POST", path, data, wanted=(202,), headers=headers)
        assert answer, line.unexpected
        asked.append(str(answer.document["id"]))
    line.close()
    return asked


def problem_at(service: Service, path: str, token: str = "") -> Any:
    """The problem that a GET is answered with; it has to be one."""
    request = urllib.request.Request(f"http://127.0.0.1:{service.port}{path}")
    if token:
        request.add_header("Authorization", f"Bearer {token}")
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(request, timeout=40)
    assert refused.value.headers["Content-Type"] == "application/problem+json"
    assert int(refused.value.headers["Retry-After"]) > 0
    with refused.value as answer:
        return json.load(answer)
