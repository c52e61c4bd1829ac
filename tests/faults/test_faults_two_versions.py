"""An upgrade while the earlier version serves, and both versions on one database after it."""

import threading
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path

import pytest
from faults.counted import ROUNDS, told
from faults.earlier_code import code_of, code_to_come, earlier_commit
from load.checks import look_after
from load.client import Desk
from load.clients import Day, run_clients
from load.offices import open_office
from load.service import Service
from store.databases import empty_postgres


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_both_versions_serve_one_database(
    request: pytest.FixtureRequest, tmp_path: Path, kind: str
) -> None:
    commit = earlier_commit()
    with ExitStack() as stack:
        url = f"sqlite:///{tmp_path / 'estimator.sqlite'}"
        if kind == "postgresql":
            url = stack.enter_context(empty_postgres(request.getfixturevalue("postgres")))
        old, new = (_service(url, tmp_path / name) for name in ("old", "new"))
        code_of(commit, old.root)
        code_to_come(new.root)
        old.command("db", "upgrade")
        old.start()
        stack.callback(old.stop)
        token, desk = open_office(old, 1)

        if kind == "postgresql":
            new.begin("web", "serve")
            stack.callback(new.stop)
            _not_ready(new)
        day = _while_clients_work(new, old, token, desk)
        if not new.processes:
            new.start(workers=0)
        stack.callback(new.stop)
        new.wait_until_ready()
        for number in range(ROUNDS):
            day.add(_both(old, new, [(token, desk)], number))

        assert day.unexpected == []
        assert (old.status("/ready"), new.status("/ready")) == (200, 200)
        # What either wrote is read by each.
        found = [look_after(each.port, day) for each in (old, new)]
        assert [each.lost for each in found] == [[], []]
        if kind == "postgresql":
            # A host of the earlier version that is started anew goes on, too.
            old.stop()
            old.start()
            assert look_after(old.port, day).lost == []
        told("two versions at once", kind, ROUNDS, found[0].total, 0)


def _service(url: str, root: Path) -> Service:
    root.mkdir()
    return Service(url, root, root=root)


def _not_ready(new: Service) -> None:
    """The new version waits for its tables and says so."""
    for _ in range(300):
        if new.status("/health") == 200:
            break
        threading.Event().wait(0.1)
    assert new.status("/ready") == 503


def _while_clients_work(new: Service, old: Service, token: str, desk: Desk) -> Day:
    """Upgrade by the new version while clients of the earlier one work."""
    day = Day()
    clients = threading.Thread(
        # Who waits for tables that are being changed may be told 503, and asks again.
        target=lambda: day.add(
            run_clients(old.port, [(token, desk)], 3, 4.0, think_s=0.1, again_s=30)
        )
    )
    clients.start()
    said = new.command("db", "upgrade")
    clients.join()
    assert "to next" in said
    return day


def _both(old: Service, new: Service, offices: Sequence[tuple[str, Desk]], number: int) -> Day:
    days = [Day(), Day()]
    threads = [
        threading.Thread(
            target=lambda day=day, each=each: day.add(  # type: ignore[misc]
                run_clients(each.port, offices, 2, 4.0, think_s=0.1, seed=number)
            )
        )
        for day, each in zip(days, (old, new), strict=True)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    days[0].add(days[1])
    return days[0]
