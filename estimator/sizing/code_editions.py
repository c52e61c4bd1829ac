"""Strict reader for what differs between editions of the code: one TOML file an edition."""

import tomllib
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import cache
from importlib import resources
from typing import Any, get_args

from estimator.job.records import CodeEdition
from estimator.published.sources import load_sources

PACKAGE = "estimator.sizing.editions"
_ENTRY = {"value", "source", "says"}
_SUFFIX = ".toml"


class EditionError(Exception):
    """An edition file cannot be trusted; the message lists every fault."""


@dataclass(frozen=True, slots=True)
class EditionRules:
    """The rules of one code edition that others have not or have otherwise.

    Units end the names. inlet_outdoors_max_w, surge_discharge_min_ka: None where the edition
    has no such rule.
    roof_clearance_in: height above a sunny roof from which roof_adder_c is not added.
    """

    edition: CodeEdition
    added_standard_ratings_a: tuple[int, ...]
    inlet_outdoors_max_w: Decimal | None
    feeder_surge_protection: bool
    surge_discharge_min_ka: Decimal | None
    roof_clearance_in: Decimal
    roof_adder_c: Decimal
    terminal_blocks_counted: bool

    @property
    def title(self) -> str:
        """The edition as findings name it."""
        return f"NFPA 70 ({self.edition})"


def _number(value: object) -> Decimal:
    if isinstance(value, str):
        try:
            number = Decimal(value)
        except InvalidOperation:
            number = Decimal("NaN")
        if number.is_finite():
            return number
    raise ValueError(f"value {value!r} must be a number written as text")


def _number_or_none(value: object) -> Decimal | None:
    return None if value is None else _number(value)


def _yes_no(value: object) -> bool:
    if isinstance(value, bool):
        return value
    raise ValueError(f"value {value!r} must be true or false")


def _ratings(value: object) -> tuple[int, ...]:
    if isinstance(value, list) and all(type(rating) is int and rating > 0 for rating in value):
        return tuple(value)
    raise ValueError(f"value {value!r} must be a list of whole ratings")


_READERS: Mapping[str, Callable[[object], object]] = {
    "added_standard_ratings_a": _ratings,
    "inlet_outdoors_max_w": _number_or_none,
    "feeder_surge_protection": _yes_no,
    "surge_discharge_min_ka": _number_or_none,
    "roof_clearance_in": _number,
    "roof_adder_c": _number,
    "terminal_blocks_counted": _yes_no,
}


def parse_edition(text: str, edition: str, sources: Collection[str]) -> EditionRules:
    """The rules of one edition from the TOML of its file.

    edition: stem of the file's name, one of CodeEdition. Raises EditionError with every fault:
    unknown edition, unknown or missing rule or field, wrong value, unknown source.
    """
    name = f"{edition}.toml"
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise EditionError(f"{name}: {error}") from error
    faults = [f"{name}: unknown rule {rule}" for rule in document if rule not in _READERS]
    known = next((one for one in get_args(CodeEdition) if one == edition), None)
    if known is None:
        faults.append(
            f"{name}: is not an edition of CodeEdition in job/records.py; name it there too"
        )
    values: dict[str, Any] = {}
    for rule, read in _READERS.items():
        if rule not in document:
            faults.append(f"{name}: rule {rule} is missing")
            continue
        entry = document[rule]
        found = _entry_faults(entry, sources)
        if not found:
            try:
                values[rule] = read(entry.get("value"))
            except ValueError as error:
                found.append(str(error))
        faults += [f"{name}, {rule}: {fault}" for fault in found]
    if faults or known is None:
        raise EditionError("\n".join(faults))
    return EditionRules(edition=known, **values)


def _entry_faults(entry: object, sources: Collection[str]) -> list[str]:
    if not isinstance(entry, dict):
        return ["is not a table of fields"]
    faults = [f"unknown field {field}" for field in sorted(set(entry) - _ENTRY)]
    faults += [
        f"field {field} must be text"
        for field in ("source", "says")
        if not isinstance(entry.get(field), str) or not entry[field]
    ]
    if not faults and entry["source"] not in sources:
        faults.append(f"{entry['source']!r} is not a key of sources.toml")
    return faults


def editions_of(
    texts: Mapping[str, str], sources: Collection[str]
) -> Mapping[CodeEdition, EditionRules]:
    """Editions from the texts of their files by edition, oldest first.

    Raises EditionError for a broken file, and for an edition that a job may name without one.
    """
    read = [parse_edition(texts[edition], edition, sources) for edition in sorted(texts)]
    missing = [edition for edition in get_args(CodeEdition) if edition not in texts]
    if missing:
        raise EditionError(f"sizing/editions has no file for {', '.join(missing)}")
    return {rules.edition: rules for rules in read}


@cache
def load_editions() -> Mapping[CodeEdition, EditionRules]:
    """All editions of the package, oldest first, read once in a process."""
    texts = {
        file.name.removesuffix(_SUFFIX): file.read_text("utf-8")
        for file in resources.files(PACKAGE).iterdir()
        if file.name.endswith(_SUFFIX)
    }
    return editions_of(texts, load_sources())
