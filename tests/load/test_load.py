"""A short day of a few clients on the real service: nothing fails, nothing is lost.

The long one, with percentiles and memory: ``python -m tests.load``.
"""

from pathlib import Path

import pytest
from load.checks import Kept, holes
from load.client import Made
from load.clients import Day
from load.line import Timed
from load.memory import grown
from load.table import lines
from load.whole_day import Outcome, load_database
from store.databases import empty_postgres


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_a_short_day(kind: str, request: pytest.FixtureRequest, tmp_path: Path) -> None:
    if kind == "sqlite":
        outcome = load_database(f"sqlite:///{tmp_path / 'estimator.sqlite'}", 4, 6.0, 0.2)
    else:
        with empty_postgres(request.getfixturevalue("postgres")) as url:
            outcome = load_database(url, 4, 6.0, 0.2)

    told = "\n".join(lines(kind, outcome))
    assert outcome.failed == 0, told
    assert outcome.kept.looked_for["quotes"] > 0, told
    assert "0 failed of" in told


def test_what_is_lost_is_noticed() -> None:
    rows = [{"number": f"2026-{each:04}"} for each in (1, 2, 2, 4)]

    assert holes(rows) == ["number 2026-0003 is missing, or one too many", "number 2026-0002 twice"]
    assert holes([{"number": "2026-0001"}, {"number": "2025-0001"}]) == []


def test_what_grows_is_noticed() -> None:
    half = {"web": 100.0, "web.1": 200.0, "worker 1": 200.0}

    found = grown(half, {"web": 120.0, "web.1": 237.0, "worker 1": 0.0})

    assert [each.partition(":")[0] for each in found] == ["web.1", "worker 1"]


def test_an_answer_that_was_not_expected_is_a_failure() -> None:

    day = Day([Timed("estimate", 500, 0.0, 3.0)], ["estimate: 500"], 0, {"token": Made()})
    seen = {key: {"web": 100.0} for key in ("start", "half", "end")}
    outcome = Outcome(day, Kept(), 1.0, seen, 0, 0, [])

    assert outcome.failed == 1
    assert list(lines("x", outcome))[-1].startswith("1 failed of 1, 0 lost")
