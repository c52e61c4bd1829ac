"""The standard cautions that a job calls for, from a strictly read file."""

import tomllib
from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from typing import Literal, cast, get_args

from estimator.documents.caution_triggers import TRIGGERS
from estimator.job.records import Job
from estimator.published.sources import load_sources
from estimator.published.tables import package_text

CautionSeverity = Literal["danger", "warning", "notice"]
_FIELDS = ("id", "trigger", "severity", "text", "source")
_SEVERITIES: tuple[str, ...] = get_args(CautionSeverity)


class CautionsError(Exception):
    """The cautions file cannot be trusted; the message lists every fault."""


@dataclass(frozen=True, slots=True)
class Caution:
    """One warning for whoever builds from a document.

    id: stable name. trigger: a key of TRIGGERS. source: a key of sources.toml.
    """

    id: str
    trigger: str
    severity: CautionSeverity
    text: str
    source: str


def cautions_for(job: Job) -> tuple[Caution, ...]:
    """The cautions whose trigger holds for this job: dangers, then warnings, then notices."""
    return tuple(caution for caution in load_cautions() if TRIGGERS[caution.trigger](job))


@cache
def load_cautions() -> tuple[Caution, ...]:
    """The package's own cautions, most severe first, read once in a process."""
    text = package_text("estimator.documents", "cautions.toml")
    return parse_cautions(text, name="cautions.toml", sources=load_sources())


def parse_cautions(text: str, *, name: str, sources: Collection[str]) -> tuple[Caution, ...]:
    """Cautions of a TOML text, most severe first and else in file order.

    Raises CautionsError with every fault: not TOML, anything but [[caution]] entries, unknown,
    missing or blank field, unknown trigger, severity or source key, an id that stands twice.
    """
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise CautionsError(f"{name}: {error}") from error
    entries = document.get("caution")
    if set(document) != {"caution"} or not isinstance(entries, list):
        raise CautionsError(f"{name}: must hold [[caution]] entries and nothing else")
    faults: list[str] = []
    cautions: list[Caution] = []
    seen: set[str] = set()
    for number, entry in enumerate(entries, start=1):
        found = _entry_faults(entry, sources)
        if not found and entry["id"] in seen:
            found.append(f"id {entry['id']!r} stands twice")
        faults += [f"{name}, caution {number}: {fault}" for fault in found]
        if not found:
            seen.add(entry["id"])
            cautions.append(
                Caution(
                    entry["id"],
                    entry["trigger"],
                    cast(CautionSeverity, entry["severity"]),
                    entry["text"],
                    entry["source"],
                )
            )
    if faults:
        raise CautionsError("\n".join(faults))
    return tuple(sorted(cautions, key=lambda caution: _SEVERITIES.index(caution.severity)))


def _entry_faults(entry: object, sources: Collection[str]) -> list[str]:
    if not isinstance(entry, dict):
        return ["is not a table of fields"]
    faults = [f"unknown field {field}" for field in sorted(set(entry) - set(_FIELDS))]
    faults += [f"field {field} is missing" for field in _FIELDS if field not in entry]
    for field in _FIELDS:
        value = entry.get(field, "-")
        if not isinstance(value, str) or not value.strip():
            faults.append(f"field {field} must be text and not blank")
    if faults:
        return faults
    if entry["trigger"] not in TRIGGERS:
        faults.append(f"trigger {entry['trigger']!r} is not one of {', '.join(sorted(TRIGGERS))}")
    if entry["severity"] not in _SEVERITIES:
        faults.append(f"severity {entry['severity']!r} is not one of {', '.join(_SEVERITIES)}")
    if entry["source"] not in sources:
        faults.append(f"source {entry['source']!r} is not a key of sources.toml")
    return faults
