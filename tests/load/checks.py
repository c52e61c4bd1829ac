"""What must be there after a day: all that was answered as kept, and nothing by half."""

import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from load.client import Made
from load.clients import Day
from load.line import Line

_TASKS_S = 120.0
_STATES = ("draft", "sent", "accepted")


@dataclass
class Kept:
    """Counts of things that were looked for, and what is wrong with each that is."""

    looked_for: Counter[str] = field(default_factory=Counter)
    lost: list[str] = field(default_factory=list)

    @property
    def total(self) -> int:
        return sum(self.looked_for.values())


def look_after(port: int, day: Day, before: int = 1) -> Kept:
    """Look at everything that a day made. before: quotes of each office that were there."""
    kept = Kept()
    for token, made in day.made.items():
        line = Line(port, token, again_s=30)
        _look_at_quotes(line, made, kept, before)
        _look_at_tasks(line, made, kept)
        kept.lost += line.unexpected
        line.close()
    return kept


def all_quotes(line: Line) -> list[dict[str, object]]:
    """Every quote of an office, in the order of their numbers."""
    rows: list[dict[str, object]] = []
    while True:
        path = f"/quotes?sort=number&limit=200&offset={len(rows)}"
        answer = line.ask("look", "GET", path)
        if answer is None:
            return rows
        rows += answer.document["rows"]
        if not answer.document["rows"] or len(rows) >= answer.document["total"]:
            return rows


def holes(rows: Sequence[dict[str, object]]) -> list[str]:
    """What is wrong with the numbers of quotes, which count up from 1 in each year."""
    numbers = sorted(str(row["number"]) for row in rows)
    years = Counter(number.partition("-")[0] for number in numbers)
    expected = [f"{year}-{each:04}" for year in years for each in range(1, years[year] + 1)]
    differ = sorted(set(numbers) ^ set(expected))
    twice = [number for number, times in Counter(numbers).items() if times > 1]
    return [f"number {each} is missing, or one too many" for each in differ] + [
        f"number {each} twice" for each in twice
    ]


def _look_at_quotes(line: Line, made: Made, kept: Kept, before: int) -> None:
    rows = all_quotes(line)
    kept.lost += holes(rows)
    there = {str(row["id"]): row for row in rows}
    if len(rows) != len(made.quotes) + before:
        kept.lost.append(f"{len(rows)} quotes, {len(made.quotes) + before} were made")
    for quote, number in made.quotes.items():
        row = there.get(quote)
        if row is None or row["number"] != number:
            kept.lost.append(f"quote {number}: {row}")
            continue
        if row["newest"] != made.revisions[quote]:
            told = made.revisions[quote]
            kept.lost.append(f"quote {number}: {row['newest']} revisions, {told} were made")
        if row["state"] not in _STATES or (row["state"] == "accepted") != (quote in made.accepted):
            kept.lost.append(f"quote {number} is {row['state']}")
        # Read back whole: its digest is looked at, and it says so if it is not what was kept.
        line.ask("look", "GET", f"/quotes/{quote}/revisions/{row['newest']}/snapshot")
    kept.looked_for["quotes"] += len(made.quotes)
    kept.looked_for["revisions"] += sum(made.revisions.values())
    kept.looked_for["acceptances"] += len(made.accepted)


def _look_at_tasks(line: Line, made: Made, kept: Kept) -> None:
    until = time.monotonic() + _TASKS_S
    for task in made.imports:
        while True:
            answer = line.ask("look", "GET", f"/tasks/{task}")
            told = answer.document if answer else {"state": "not there"}
            if told["state"] not in ("waiting", "running") or time.monotonic() > until:
                break
            time.sleep(0.3)
        if told["state"] != "done":
            kept.lost.append(f"import {task} is {told['state']}: {told.get('fault')}")
            continue
        version = told["result"]
        path = f"/catalogues/{version['catalogue_id']}/versions/{version['version']}"
        seen = line.ask("look", "GET", path)
        if seen and seen.document["items"] != version["items"]:
            kept.lost.append(f"import {task}: {seen.document['items']} items")
    kept.looked_for["imports"] += len(made.imports)
