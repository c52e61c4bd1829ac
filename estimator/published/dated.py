"""Strict reader for values that change with time: TOML entries with a start date.

[[rate]]
from = 2022-01-01
until = 2025-12-31        # last day, only where an explicit end is known
value = "0.30"
source = "usc_25d_g"
checked_on = 2026-11-25
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from itertools import pairwise
from typing import Any, Generic, TypeVar

Value = TypeVar("Value")
_FIELDS = {"from", "until", "value", "source", "checked_on", "note"}


class RuleError(Exception):
    """A rule file cannot be trusted; the message lists every fault."""


class RuleGap(LookupError):
    """A rule says nothing about the date asked for."""


@dataclass(frozen=True, slots=True)
class Span(Generic[Value]):
    """A value that holds from one day to another, both included (no end: still holds)."""

    start: date
    until: date | None
    value: Value
    source: str
    checked_on: date
    note: str = ""


@dataclass(frozen=True, slots=True)
class Dated(Generic[Value]):
    """Values by start date, earliest first, never overlapping."""

    name: str
    spans: tuple[Span[Value], ...]

    def on(self, day: date) -> Span[Value]:
        """The span that holds on a day. Raises RuleGap before the first and in a gap."""
        for span in reversed(self.spans):
            if span.start <= day:
                if span.until is not None and day > span.until:
                    break
                return span
        raise RuleGap(f"{self.name} has no value for {day.isoformat()}")


def read_decimals(entries: object, *, name: str, sources: Collection[str]) -> Dated[Decimal]:
    """Dated decimal values from the list of tables that TOML gives for ``[[name]]``.

    Raises RuleError with every fault: not a list, unknown or missing field, wrong type, a
    value that is not a number in text, unknown source, dates out of order or overlapping.
    """
    faults: list[str] = []
    spans: list[Span[Decimal]] = []
    if not isinstance(entries, list) or not entries:
        raise RuleError(f"{name}: must be a list of entries with from, value, source, checked_on")
    for number, entry in enumerate(entries, start=1):
        place = f"{name}, entry {number}"
        if not isinstance(entry, dict):
            faults.append(f"{place}: is not a table of fields")
            continue
        found = _entry_faults(entry, place, sources)
        faults += found
        if not found:
            spans.append(
                Span(
                    entry["from"],
                    entry.get("until"),
                    Decimal(entry["value"]),
                    entry["source"],
                    entry["checked_on"],
                    entry.get("note", ""),
                )
            )
    if not faults:
        faults += _order_faults(spans, name)
    if faults:
        raise RuleError("\n".join(faults))
    return Dated(name, tuple(spans))


def _entry_faults(entry: Mapping[str, Any], place: str, sources: Collection[str]) -> list[str]:
    faults = [f"{place}: unknown field {field}" for field in sorted(set(entry) - _FIELDS)]
    required = ("from", "value", "source", "checked_on")
    faults += [f"{place}: field {field} is missing" for field in required if field not in entry]
    faults += [
        f"{place}: {field} must be a date"
        for field in ("from", "until", "checked_on")
        if field in entry and type(entry[field]) is not date
    ]
    value = entry.get("value", "0")
    try:
        if not isinstance(value, str) or not Decimal(value).is_finite():
            faults.append(f"{place}: value must be a number written as text")
    except InvalidOperation:
        faults.append(f"{place}: value {value!r} is not a number")
    if "source" in entry and entry["source"] not in sources:
        faults.append(f"{place}: {entry['source']!r} is not a key of sources.toml")
    return faults


def _order_faults(spans: Sequence[Span[Decimal]], name: str) -> list[str]:
    faults = []
    for number, span in enumerate(spans, start=1):
        if span.until is not None and span.until < span.start:
            faults.append(f"{name}, entry {number}: until is before from")
    for number, (earlier, later) in enumerate(pairwise(spans), start=2):
        end = earlier.until or later.start - timedelta(days=1)
        if later.start <= earlier.start or end >= later.start:
            faults.append(f"{name}, entry {number}: starts before the entry above it ends")
    return faults
