"""YAML text to plain objects, built from parser events so that nothing expands or executes.

Plain words are read as in the JSON subset: only true and false are booleans, dates stay
text, there are no octal or sexagesimal numbers; anchors, aliases and tags are refused.
"""

import re
from collections.abc import Callable
from typing import Any

import yaml

from estimator.finding import Fault, InputRefused
from estimator.job.document_limits import (
    MOST_DEPTH,
    MOST_VALUES,
    TOO_DEEP,
    WHOLE,
    exact_number,
    not_a_number,
    refused,
    stands_twice,
    too_long,
)
from estimator.job.faults import capped, pointer, shown

_DECIMAL = re.compile(r"[-+]?([0-9]+\.[0-9]*|\.[0-9]+|[0-9]+(?=[eE]))([eE][-+]?[0-9]+)?")
_NOT_A_NUMBER = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
_WORDS: dict[str, bool | None] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
}  # fmt: skip


def from_yaml(text: str, name: str) -> object:
    """Plain objects of a YAML text. Raises InputRefused with every fault."""
    loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    builder = _Builder(name)
    try:
        for event in yaml.parse(text, Loader=loader):
            builder.take(event)
    except yaml.MarkedYAMLError as error:
        place = error.problem_mark
        at = f"line {place.line + 1}, column {place.column + 1}: " if place else ""
        what = error.problem or error.context or "cannot be read"
        # The parser reads ahead, and may refuse the depth before its events show it.
        message = TOO_DEEP if "nesting depth" in what else f"is not YAML: {at}{what}"
        raise refused(name, message) from None
    except yaml.YAMLError as error:
        raise refused(name, f"is not YAML: {str(error).partition(chr(10))[0]}") from None
    if builder.faults:
        raise InputRefused(name, capped(builder.faults))
    return builder.document


class _Builder:
    """The document as far as the events have told it, and the faults on the way."""

    def __init__(self, name: str) -> None:
        self.document: object = None
        self.faults: list[Fault] = []
        self._name = name
        self._documents = 0
        self._values = 0
        self._open: list[tuple[dict[str, object] | list[object], str]] = []
        self._key: str | None = None
        self._on: dict[type[Any], Callable[[Any], None]] = {
            yaml.DocumentStartEvent: self._document_starts,
            yaml.ScalarEvent: self._scalar,
            yaml.AliasEvent: self._alias,
            yaml.SequenceStartEvent: self._list_starts,
            yaml.MappingStartEvent: self._object_starts,
            yaml.SequenceEndEvent: self._container_ends,
            yaml.MappingEndEvent: self._container_ends,
        }

    def take(self, event: Any) -> None:
        """Build what one event tells; stream and document ends tell nothing."""
        if handle := self._on.get(type(event)):
            handle(event)

    def _document_starts(self, event: Any) -> None:
        self._documents += 1
        if self._documents > 1:
            line = event.start_mark.line + 1
            raise refused(self._name, f"holds a second document from line {line}; give one job")

    def _list_starts(self, event: Any) -> None:
        self._starts([], event)

    def _object_starts(self, event: Any) -> None:
        self._starts({}, event)

    def _starts(self, container: dict[str, object] | list[object], event: Any) -> None:
        self._refuse_marks(event)
        if len(self._open) >= MOST_DEPTH:
            raise refused(self._name, TOO_DEEP)
        where = self._where()
        self._place(container, event)
        self._open.append((container, where))

    def _container_ends(self, _event: Any) -> None:
        self._open.pop()

    def _alias(self, event: Any) -> None:
        line = event.start_mark.line + 1
        message = f"line {line} uses the YAML alias *{event.anchor}; write the value out"
        self.faults.append(Fault(self._where(), message))
        self._place(None, event)

    def _scalar(self, event: Any) -> None:
        self._refuse_marks(event)
        if self._open and isinstance(self._open[-1][0], dict) and self._key is None:
            self._key_starts(self._open[-1][0], event.value)
        else:
            self._place(self._value(event) if event.implicit[0] else event.value, event)

    def _key_starts(self, container: dict[str, object], key: str) -> None:
        self._key = key
        if key in container:
            self.faults.append(Fault(self._where(), stands_twice(key)))

    def _place(self, value: object, event: Any) -> None:
        self._values += 1
        if self._values > MOST_VALUES:
            raise refused(self._name, f"holds more than {MOST_VALUES} values")
        if not self._open:
            self.document = value
            return
        container = self._open[-1][0]
        if isinstance(container, list):
            container.append(value)
        elif self._key is not None:
            container[self._key] = value
            self._key = None
        else:
            line = event.start_mark.line + 1
            raise refused(self._name, f"uses an object or list as a name in line {line}")

    def _where(self) -> str:
        if not self._open:
            return ""
        container, where = self._open[-1]
        if isinstance(container, list):
            return pointer(where, len(container))
        return where if self._key is None else pointer(where, self._key)

    def _refuse_marks(self, event: Any) -> None:
        line = event.start_mark.line + 1
        if event.anchor is not None:
            message = f"line {line} sets the YAML anchor &{event.anchor}; write it without"
            self.faults.append(Fault(self._where(), message))
        if event.tag is not None:
            message = f"line {line} has the YAML tag {shown(event.tag)}; write the plain value"
            self.faults.append(Fault(self._where(), message))

    def _value(self, event: Any) -> object:
        text = event.value
        if text in _WORDS:
            return _WORDS[text]
        if WHOLE.fullmatch(text) or _DECIMAL.fullmatch(text):
            value = exact_number(text)
            if value is None:
                self.faults.append(Fault(self._where(), too_long(text)))
            return value
        if _NOT_A_NUMBER.fullmatch(text):
            self.faults.append(Fault(self._where(), not_a_number(text)))
            return None
        return text
