"""The outcome of a day of load, as a table."""

import statistics
from collections.abc import Iterator, Sequence

from load.line import NO_ANSWER, Timed
from load.whole_day import Outcome

HEAD = f"{'':24} {'answers':>8} {'p50 ms':>8} {'p95 ms':>8} {'p99 ms':>8} {'worst':>8}   statuses"


def lines(title: str, outcome: Outcome) -> Iterator[str]:
    """All lines of it; the last one says whether it held."""
    day, kept = outcome.day, outcome.kept
    yield title
    yield HEAD
    kinds: dict[str, list[Timed]] = {}
    for each in day.answers:
        kinds.setdefault(each.kind, []).append(each)
    for kind in sorted(kinds, key=lambda kind: -len(kinds[kind])):
        yield _row(kind, kinds[kind])
    yield _row("all", day.answers)
    yield f"{len(day.answers) / outcome.seconds:.1f} answers a second over {outcome.seconds:.0f} s"
    for name, mib in outcome.memory["end"].items():
        start, half = outcome.memory["start"][name], outcome.memory["half"][name]
        yield f"memory of {name}: {start:.0f} MiB at start, {half:.0f} at half, {mib:.0f} at end"
    yield (
        f"connections at the end: {outcome.connections} to the service, "
        f"{outcome.database_connections} to the database"
    )
    told = ", ".join(f"{count} {what}" for what, count in kept.looked_for.items())
    yield f"looked for afterwards: {told}"
    yield from (f"UNEXPECTED {each}" for each in day.unexpected[:20])
    yield from (f"LOST {each}" for each in kept.lost[:20])
    yield from (f"ENDED {each}" for each in outcome.ended)
    yield from (f"GREW {each}" for each in outcome.grown)
    bound = "held" if not outcome.grown else "BROKEN"
    yield (
        f"{len(day.unexpected)} failed of {len(day.answers)}, {len(kept.lost)} lost or wrong of "
        f"{kept.total}, memory bound {bound}"
    )


def _row(kind: str, answers: Sequence[Timed]) -> str:
    times = sorted(each.ms for each in answers)
    cuts = statistics.quantiles(times, n=100, method="inclusive") if len(times) > 1 else times * 99
    statuses: dict[int, int] = {}
    for each in answers:
        statuses[each.status] = statuses.get(each.status, 0) + 1
    told = ", ".join(
        f"{count} x {status if status != NO_ANSWER else 'no answer'}"
        for status, count in sorted(statuses.items())
    )
    columns = " ".join(f"{value:8.0f}" for value in (cuts[49], cuts[94], cuts[98], times[-1]))
    return f"{kind:24} {len(times):8} {columns}   {told}"
