"""Why two revisions differ: the job, the prices, the tables, the day."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from estimator.job.field_words import field_title, value_words
from estimator.quotes.records import Json

Cause = Literal[
    "job", "catalogue", "labour_table", "rate_sheet", "programme", "tables", "program", "day",
    "validity",
]  # fmt: skip

_SINGLE: tuple[Cause, ...] = ("labour_table", "rate_sheet")


@dataclass(frozen=True, slots=True)
class Reason:
    """One cause that is another in the newer revision. text: one sentence."""

    cause: Cause
    text: str


def reasons(before: Json, after: Json) -> tuple[Reason, ...]:
    """Every cause that differs between two snapshots, the job's fields first."""
    return (
        *(Reason("job", text) for text in _fields("", before["job"], after["job"])),
        *_basis(before["basis"], after["basis"]),
        *_days(before, after),
    )


def _fields(where: str, before: Any, after: Any) -> Iterator[str]:
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for name in dict.fromkeys((*after, *before)):
            pointer = f"{where}/{name}"
            if name not in before:
                yield from _added(pointer, after[name])
            elif name not in after:
                yield f"{field_title(pointer)} is no longer given; it was {_told(before[name])}."
            else:
                yield from _fields(pointer, before[name], after[name])
    elif isinstance(before, list) and isinstance(after, list):
        yield from _places(where, before, after)
    elif before != after:
        title = field_title(where) if where else "the job"
        yield f"{title} is {_told(after)}, before {_told(before)}."


def _added(where: str, value: Any) -> Iterator[str]:
    """What is given for the first time, field by field."""
    if isinstance(value, Mapping) and value:
        for name, inner in value.items():
            yield from _added(f"{where}/{name}", inner)
    else:
        yield f"{field_title(where)} is now given: {_told(value)}."


def _places(where: str, before: Sequence[Any], after: Sequence[Any]) -> Iterator[str]:
    for at, (one, two) in enumerate(zip(before, after, strict=False)):
        yield from _fields(f"{where}/{at}", one, two)
    for at in range(len(before), len(after)):
        yield f"{field_title(f'{where}/{at}')} is new: {_told(after[at])}."
    for at in range(len(after), len(before)):
        yield f"{field_title(f'{where}/{at}')} is gone; it was {_told(before[at])}."


def _told(value: Any) -> str:
    if isinstance(value, Mapping):
        return str(value.get("name") or _counted(len(value), "field"))
    if isinstance(value, list):
        plain = all(isinstance(each, str | int | float) for each in value)
        return ", ".join(map(str, value)) if plain and value else _counted(len(value), "entry")
    return value_words(str(value).lower() if isinstance(value, bool) else str(value))


def _counted(count: int, what: str) -> str:
    many = "entries" if what == "entry" else f"{what}s"
    return f"{count} {what if count == 1 else many}"


def _basis(before: Json, after: Json) -> Iterator[Reason]:
    yield from _used("catalogue", before["catalogues"], after["catalogues"])
    for cause in _SINGLE:
        yield from _used(cause, _as_list(before, cause), _as_list(after, cause))
    yield from _used("programme", before["programmes"], after["programmes"])
    known = before["tables"]
    rooms = [room for room, digest in after["tables"].items() if known.get(room) != digest]
    if rooms:
        yield Reason("tables", f"Tables or rules were renewed: {', '.join(rooms)}.")
    if before["program"] != after["program"]:
        yield Reason(
            "program", f"Computed by version {after['program']}, before {before['program']}."
        )


def _as_list(basis: Json, name: str) -> list[Json]:
    return [basis[name]] if basis[name] else []


def _used(cause: Cause, before: Sequence[Json], after: Sequence[Json]) -> Iterator[Reason]:
    title = cause.replace("_", " ").capitalize()
    old, new = {each["name"]: each for each in before}, {each["name"]: each for each in after}
    for name in dict.fromkeys((*new, *old)):
        was, now = old.get(name), new.get(name)
        if was is None and now is not None:
            yield Reason(cause, f"{title} {name!r}, version {now['version']}, is used now.")
        elif now is None and was is not None:
            yield Reason(cause, f"{title} {name!r} is no longer used.")
        elif was is not None and now is not None and was["digest"] != now["digest"]:
            yield Reason(
                cause, f"{title} {name!r} is version {now['version']}, before {was['version']}."
            )


def _days(before: Json, after: Json) -> Iterator[Reason]:
    was, now = before["result"]["computed_on"], after["result"]["computed_on"]
    if was != now:
        yield Reason("day", f"Computed as of {now}, before {was}.")
    was, now = before["valid_until"], after["valid_until"]
    if was != now:
        yield Reason("validity", f"Can be accepted until {now}, before {was}.")
