"""Say which told fields change nothing yet, by the list in not_built.toml."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from estimator.finding import Finding
from estimator.published.tables import package_text

CODE = "NOT_CONSIDERED_YET"


@dataclass(frozen=True, slots=True)
class _NotBuilt:
    steps: tuple[str, ...]
    effect: str
    remedy: str


@cache
def _load() -> tuple[_NotBuilt, ...]:
    entries = tomllib.loads(package_text("estimator.job", "not_built.toml"))
    return tuple(
        _NotBuilt(tuple(path.strip("/").split("/")), entry["effect"], entry["remedy"])
        for path, entry in entries.items()
    )


def not_built_yet(told: Mapping[str, Any]) -> tuple[Finding, ...]:
    """A note for each kind of field that was told and changes nothing yet.

    told: the checked job as the user gave it. One note stands for the field in all circuits
    or runs and points at the first; null and empty lists tell nothing.
    """
    return tuple(
        finding
        for entry in _load()
        if entry.steps[0] in told
        for finding in _finding(entry, list(_places(told, entry.steps)))
    )


def _places(told: Any, steps: tuple[str, ...], where: str = "") -> Iterator[str]:
    if not steps:
        if told not in (None, (), [], {}):
            yield where
        return
    step, *rest = steps
    if step == "*":
        for index, item in enumerate(told):
            yield from _places(item, tuple(rest), f"{where}/{index}")
    elif step in told:
        yield from _places(told[step], tuple(rest), f"{where}/{step}")


def _finding(entry: _NotBuilt, places: list[str]) -> Iterator[Finding]:
    if not places:
        return
    field = entry.steps[-1]
    times = f" in {len(places)} places" if len(places) > 1 else ""
    yield Finding(
        severity="note",
        code=CODE,
        message=f"{field} was given{times}; it is read and checked, but changes nothing yet: "
        f"{entry.effect}",
        where=places[0],
        source="own_convention",
        remedy=entry.remedy,
    )
