"""Reading one table of a rule file field by field, collecting every fault with its place."""

from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import Any, TypeVar, cast, get_args

from estimator.published.dated import Span

Value = TypeVar("Value")
_LONG_AGO = date(1, 1, 1)
_MOST_WHOLE = 1_000_000


class Fields:
    """One table of fields.

    Each reading method notes a fault when its field is missing or of the wrong type and then
    gives a harmless stand-in, so that all faults of a file are found in one reading.
    ``close`` notes every field that nobody asked for.
    """

    def __init__(
        self, place: str, table: object, faults: list[str], sources: Collection[str]
    ) -> None:
        self._place = place
        self._faults = faults
        self._sources = sources
        self._known: set[str] = set()
        self._table: Mapping[str, Any] = table if isinstance(table, dict) else {}
        if not isinstance(table, dict):
            self.fault("is not a table of fields")

    def fault(self, what: str) -> None:
        """Note a fault of this table."""
        self._faults.append(f"{self._place}: {what}" if self._place else what)

    def has(self, name: str) -> bool:
        """Whether the field is there."""
        return name in self._table

    def take(self, name: str) -> Any:
        """The field as it stands, for a reader of its own; None when missing."""
        self._known.add(name)
        if name not in self._table:
            self.fault(f"field {name} is missing")
        return self._table.get(name)

    def _typed(self, name: str, kind: type, told: str) -> Any:
        value = self.take(name)
        if name not in self._table:
            return None
        # bool is an int and datetime is a date to isinstance; a rule file has to be exact.
        if type(value) is not kind:
            self.fault(f"{name} must be {told}")
            return None
        return value

    def text(self, name: str) -> str:
        """A text that is not empty."""
        value: str | None = self._typed(name, str, "text")
        if value is not None and not value.strip():
            self.fault(f"{name} is empty")
        return value or ""

    def text_or_empty(self, name: str) -> str:
        """A text that may be empty but has to be there."""
        return self._typed(name, str, "text") or ""

    def optional_text(self, name: str) -> str:
        """A text; empty when the field is absent."""
        self._known.add(name)
        return self.text(name) if self.has(name) else ""

    def whole(self, name: str) -> int:
        """A whole number."""
        value: int = self._typed(name, int, "a whole number") or 0
        if abs(value) > _MOST_WHOLE:
            self.fault(f"{name} is more than {_MOST_WHOLE:,}, which cannot be meant")
            return 0
        return value

    def flag(self, name: str) -> bool:
        """true or false."""
        return bool(self._typed(name, bool, "true or false"))

    def is_flag(self, name: str) -> bool:
        """Whether the field is there as true or false."""
        return type(self._table.get(name)) is bool

    def day(self, name: str) -> date:
        """A date."""
        return self._typed(name, date, "a date") or _LONG_AGO

    def optional_day(self, name: str) -> date | None:
        """A date; None when the field is absent."""
        self._known.add(name)
        return self.day(name) if self.has(name) else None

    def one_of(self, name: str, allowed: object) -> str:
        """One text of a Literal."""
        choices = cast("tuple[str, ...]", get_args(allowed))
        value: str | None = self._typed(name, str, "text")
        if value is not None and value not in choices:
            self.fault(f"{name} {value!r} is not one of {', '.join(choices)}")
        return value if value in choices else choices[0]

    def texts(self, name: str) -> tuple[str, ...]:
        """A list of at least one text."""
        value = self._typed(name, list, "a list of texts")
        if value is None:
            return ()
        if not value or not all(isinstance(entry, str) and entry for entry in value):
            self.fault(f"{name} must be a list of at least one text")
            return ()
        return tuple(value)

    def tables(self, name: str) -> Mapping[str, Any]:
        """Tables by key, at least one."""
        value = self._typed(name, dict, "tables of fields by key")
        if value == {}:
            self.fault(f"{name} is empty")
        return value or {}

    def rows(self, name: str) -> Sequence[Any]:
        """A list of tables, at least one."""
        value = self._typed(name, list, "a list of tables of fields")
        if value == []:
            self.fault(f"{name} is empty")
        return value or ()

    def source(self) -> str:
        """The field ``source``, a key of sources.toml."""
        return self._known_source(self.text("source"))

    def source_list(self, name: str = "sources") -> tuple[str, ...]:
        """A list of keys of sources.toml, the one that carries the rule first."""
        return tuple(key for key in map(self._known_source, self.texts(name)) if key)

    def _known_source(self, key: str) -> str:
        if key and key not in self._sources:
            self.fault(f"{key!r} is not a key of sources.toml")
            return ""
        return key

    def close(self) -> None:
        """Note every field that was not asked for."""
        for name in sorted(set(self._table) - self._known):
            self.fault(f"unknown field {name}")


def span_faults(spans: Sequence[Span[Value]], name: str, first: date, last: date) -> list[str]:
    """Faults of values that have to hold on every day from first to last without a gap."""
    if not spans:
        return [f"{name}: has no value"]
    faults = [
        f"{name}, entry {number}: until is before from"
        for number, span in enumerate(spans, start=1)
        if span.until is not None and span.until < span.start
    ]
    for number, (earlier, later) in enumerate(pairwise(spans), start=2):
        end = earlier.until or later.start - timedelta(days=1)
        if later.start <= earlier.start or end >= later.start:
            faults.append(f"{name}, entry {number}: starts before the entry above it ends")
        elif end + timedelta(days=1) < later.start:
            faults.append(f"{name}, entry {number}: leaves a gap after the entry above it")
    # Only dates in order say what is covered.
    if not faults:
        if spans[0].start > first:
            faults.append(f"{name}: has no value from {first.isoformat()}")
        if spans[-1].until is not None and spans[-1].until < last:
            faults.append(f"{name}: has no value after {spans[-1].until.isoformat()}")
    return faults
