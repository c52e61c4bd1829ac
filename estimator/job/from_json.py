"""JSON text to plain objects, with exact numbers and names that stand once."""

import json
from collections import Counter
from collections.abc import Iterator

from estimator.finding import Fault, InputRefused
from estimator.job.document_limits import (
    MOST_DEPTH,
    TOO_DEEP,
    exact_number,
    not_a_number,
    refused,
    stands_twice,
    too_long,
)
from estimator.job.faults import capped, pointer


class _Unusable:
    """Stands where a value could not be used, until its pointer is known."""

    def __init__(self, message: str) -> None:
        self.message = message


class _Doubled(dict[str, object]):
    """An object in which names stood twice."""

    doubled: tuple[str, ...] = ()


class _Reader:
    """The parts of reading that json.loads leaves to us, and what they came across."""

    def __init__(self) -> None:
        self.came_across_fault = False

    def number(self, digits: str) -> object:
        value = exact_number(digits)
        return self._unusable(too_long(digits)) if value is None else value

    def constant(self, word: str) -> object:
        return self._unusable(not_a_number(word))

    def members(self, pairs: list[tuple[str, object]]) -> dict[str, object]:
        found = dict(pairs)
        if len(found) == len(pairs):
            return found
        self.came_across_fault = True
        times = Counter(key for key, _ in pairs)
        doubled = _Doubled(found)
        doubled.doubled = tuple(key for key, count in times.items() if count > 1)
        return doubled

    def _unusable(self, message: str) -> _Unusable:
        self.came_across_fault = True
        return _Unusable(message)


def from_json(text: str, name: str) -> object:
    """Plain objects of a JSON text. Raises InputRefused with every fault."""
    reader = _Reader()
    try:
        document: object = json.loads(
            text,
            parse_float=reader.number,
            parse_int=reader.number,
            parse_constant=reader.constant,
            object_pairs_hook=reader.members,
        )
    except json.JSONDecodeError as error:
        message = f"is not JSON: line {error.lineno}, column {error.colno}: {error.msg}"
        raise refused(name, message) from None
    except RecursionError:
        raise refused(name, TOO_DEEP) from None
    # Few brackets cannot nest deeply, so most jobs need no walk.
    if reader.came_across_fault or text.count("[") + text.count("{") > MOST_DEPTH:
        faults = list(_faults(document, "", 0))
        if faults:
            raise InputRefused(name, capped(faults))
    return document


def _faults(value: object, where: str, depth: int) -> Iterator[Fault]:
    if isinstance(value, _Unusable):
        yield Fault(where, value.message)
    elif isinstance(value, dict | list) and depth >= MOST_DEPTH:
        yield Fault(where, f"the document {TOO_DEEP}")
    elif isinstance(value, dict):
        if isinstance(value, _Doubled):
            for key in value.doubled:
                yield Fault(pointer(where, key), stands_twice(key))
        for key, member in value.items():
            yield from _faults(member, pointer(where, key), depth + 1)
    elif isinstance(value, list):
        for index, member in enumerate(value):
            yield from _faults(member, pointer(where, index), depth + 1)
