"""A part of the job description, and how its faults are worded."""

from collections.abc import Iterator, Mapping
from typing import Any

from marshmallow import INCLUDE, RAISE, Schema, ValidationError

from estimator.finding import Fault
from estimator.job.faults import listed, nearest, pointer, shown

_SELF = "_schema"
_MOST_UNKNOWN_FIELDS = 20


class Told(Schema):
    """A part of the job description: unknown fields are faults, with the nearest known name."""

    class Meta:
        unknown = RAISE

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._by_name = {
            field.data_key or name: (field.attribute or name, field)
            for name, field in self.load_fields.items()
        }
        self._required = [name for name, (_, field) in self._by_name.items() if field.required]
        self._needed = frozenset(self._required)

    def fault_free(self, data: object) -> dict[Any, Any] | None:
        """What load gives for an object in which nothing is wrong; else None, and load says what.

        marshmallow visits every field that a schema knows and keeps an account of errors.
        Most jobs tell few fields and have no faults; reading them so takes a third of the time.
        """
        if type(data) is not dict:
            return None
        told: dict[Any, Any] = {}
        try:
            for name, value in data.items():
                attribute, field = self._by_name[name]
                if value is None:
                    told[attribute] = field.deserialize(value, name, data)
                    continue
                told[attribute] = kept = field._deserialize(value, name, data)
                for check in field.validators:
                    check(kept)
        except (KeyError, ValidationError):
            return None
        return told if self._needed <= data.keys() else None

    def handle_error(self, error: ValidationError, data: Any, *, many: bool, **kwargs: Any) -> None:
        """Word the faults that marshmallow finds by itself."""
        messages: Any = error.messages
        if not many:
            error.messages = self._worded(messages, data)
        elif isinstance(data, list | tuple):
            error.messages = {
                index: self._worded(found, data[index]) for index, found in messages.items()
            }

    def _worded(self, messages: dict[Any, Any], data: object) -> dict[Any, Any]:
        if not isinstance(data, Mapping):
            wanted = ", ".join(self._required or [*list(self._by_name)[:3], "…"])
            return {_SELF: [f"read {shown(data)}; give an object with {wanted}"]}
        if self.unknown == INCLUDE:
            return messages
        worded = {name: found for name, found in messages.items() if name in self._by_name}
        unknown = sorted((name for name in data if name not in self._by_name), key=str)
        for name in unknown[:_MOST_UNKNOWN_FIELDS]:
            worded[UnknownName(name)] = [self._unknown_fault(name)]
        if (others := len(unknown) - _MOST_UNKNOWN_FIELDS) > 0:
            worded[_SELF] = [f"{others} further fields are not known here; take them out"]
        return worded

    def _unknown_fault(self, name: object) -> str:
        alike = nearest(name, self._by_name) if isinstance(name, str) else ()
        if alike:
            return f"{shown(name)} is not a field that is known here; did you mean {listed(alike)}?"
        return (
            f"{shown(name)} is not a field that is known here; known are {', '.join(self._by_name)}"
        )


class UnknownName(str):
    """A field name that the user made up; may even be marshmallow's word for the whole."""

    __slots__ = ()


def flattened(messages: Any, where: str) -> Iterator[Fault]:
    """Faults with their JSON pointers from the nested messages of a schema."""
    if isinstance(messages, Mapping):
        for key, found in messages.items():
            here = type(key) is str and key == _SELF
            yield from flattened(found, where if here else pointer(where, key))
    elif isinstance(messages, list):
        for message in messages:
            yield from flattened(message, where)
    else:
        yield Fault(where, str(messages))
