"""Many clients at once: python clients.py < asked > what came of it, in a process of its own.

So the clients do not share an interpreter with the service, nor with whoever watches it.
"""

import json
import random
import sys
import threading
import time
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from load.client import Client, Desk, Made
from load.line import Line, Timed


@dataclass
class Day:
    """What all clients saw and made. made: by the token of the office."""

    answers: list[Timed] = field(default_factory=list)
    unexpected: list[str] = field(default_factory=list)
    asked_again: int = 0
    made: dict[str, Made] = field(default_factory=dict)

    def add(self, other: "Day") -> None:
        """Take in what others saw and made meanwhile."""
        self.answers += other.answers
        self.unexpected += other.unexpected
        self.asked_again += other.asked_again
        for token, more in other.made.items():
            made = self.made.setdefault(token, Made())
            made.quotes |= more.quotes
            made.revisions |= more.revisions
            made.accepted += more.accepted
            made.imports += more.imports
            made.waiting += more.waiting


def run_clients(
    port: int,
    offices: Sequence[tuple[str, Desk]],
    clients: int,
    duration_s: float,
    *,
    think_s: float,
    again_s: float = 0.0,
    seed: int = 2026,
) -> Day:
    """Let the clients of the offices (token, desk) work for so long."""
    until = time.monotonic() + duration_s
    every = [
        Client(
            Line(port, offices[place % len(offices)][0], again_s),
            offices[place % len(offices)][1],
            random.Random(f"{seed} {place}"),
            think_s,
        )
        for place in range(clients)
    ]
    broken: list[BaseException] = []
    threads = [
        threading.Thread(target=_work, args=(each, until, broken), name=f"client {place}")
        for place, each in enumerate(every)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if broken:
        raise broken[0]
    return _together(every)


def _work(client: Client, until: float, broken: list[BaseException]) -> None:
    try:
        client.work(until)
    except BaseException as error:
        broken.append(error)


def _together(every: Sequence[Client]) -> Day:
    day = Day()
    for each in every:
        line = each.line
        made = {line.token: each.made}
        day.add(Day(line.answers, line.unexpected, line.asked_again, made))
    return day


def day_of(document: Any) -> Day:
    """A day as the process of the clients wrote it."""
    return Day(
        [Timed(*each) for each in document["answers"]],
        document["unexpected"],
        document["asked_again"],
        {token: Made(**made) for token, made in document["made"].items()},
    )


def main() -> None:
    asked = json.load(sys.stdin)
    offices = [(token, Desk(**desk)) for token, desk in asked.pop("offices")]
    day = run_clients(offices=offices, **asked)
    document = asdict(day) | {"answers": [list(asdict(each).values()) for each in day.answers]}
    json.dump(document, sys.stdout)


if __name__ == "__main__":
    main()
