"""Constant defaults of the job description, each with its reason, from defaults.toml."""

import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from types import MappingProxyType
from typing import Any

from marshmallow import ValidationError

from estimator.job.schema import told_value
from estimator.published.sources import load_sources
from estimator.published.tables import package_text
from estimator.units import plain

_FIELDS = {"value", "says", "because", "source"}


class DefaultsError(Exception):
    """The defaults cannot be trusted; the message lists every fault."""


@dataclass(frozen=True, slots=True)
class Default:
    """What stands where a job says nothing. value None: not known. text: as it is shown."""

    value: Any
    text: str
    because: str
    source: str


@cache
def load_defaults() -> Mapping[str, Default]:
    """The package's own defaults by field path ("/runs/*/insulation"), read once."""
    return parse_defaults(package_text("estimator.job", "defaults.toml"), load_sources())


def parse_defaults(text: str, sources: Collection[str]) -> Mapping[str, Default]:
    """Defaults by field path. Each value has to pass the schema as if a job gave it.

    Raises DefaultsError with every fault: unknown field or path, no reason, unknown source,
    a value that the schema refuses.
    """
    faults: list[str] = []
    defaults: dict[str, Default] = {}
    for path, entry in tomllib.loads(text).items():
        found = _entry_faults(entry, sources)
        try:
            value = _frozen(told_value(path, entry["value"])) if "value" in entry else None
        except ValidationError as error:
            found.append(f"value {entry['value']!r}: {error.messages}")
        except (KeyError, AssertionError):
            found.append("is not a field of the job description")
        if found:
            faults += [f"{path}: {fault}" for fault in found]
        else:
            shown = entry.get("says") or default_text(value)
            defaults[path] = Default(value, shown, entry["because"], entry["source"])
    if faults:
        raise DefaultsError("\n".join(faults))
    return MappingProxyType(defaults)


def default_text(value: object) -> str:
    """A value as an assumption shows it, in the words of a job file."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Decimal):
        return plain(value)
    if isinstance(value, tuple):
        return ", ".join(default_text(item) for item in value) or "none"
    return str(value)


def _entry_faults(entry: Mapping[str, Any], sources: Collection[str]) -> list[str]:
    faults = [f"unknown field {name}" for name in sorted(set(entry) - _FIELDS)]
    faults += [f"{name} is missing" for name in ("because", "source") if not entry.get(name)]
    if entry.get("source") and entry["source"] not in sources:
        faults.append(f"{entry['source']!r} is not a key of sources.toml")
    return faults


def _frozen(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value
