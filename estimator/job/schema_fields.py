"""Kinds of value that a job field can hold beside numbers, strict about type."""

import re
import unicodedata
from collections.abc import Sequence
from datetime import date
from typing import Any

from marshmallow import ValidationError, fields

from estimator.job.asked import Asked
from estimator.job.faults import shown
from estimator.job.told import Told
from estimator.job.validators import EARLIEST_DAY, LATEST_DAY, Size

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
# Characters that turn the reading direction could make a name read as another.
_TURNS_DIRECTION = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_ALLOWED_UNPRINTABLE = frozenset({"Zs", "Cf"})


class YesNo(Asked, fields.Boolean):
    """True or false, as such: no words, no 0 or 1."""

    wanted = "true or false without quotes"

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> bool:
        if isinstance(value, bool):
            return value
        raise self.refuse(value)


class Text(Asked, fields.String):
    """Text for people to read, on one line, blanks around it taken off."""

    wanted = "text in quotes"

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise self.refuse(value)
        if not value.isprintable() and (found := _unfit(value)):
            raise ValidationError(
                f"{shown(value)} contains the control character U+{ord(found):04X}; take it out"
            )
        return value.strip()


class Word(Asked, fields.String):
    """One of a list of words, taken as it is."""

    wanted = "one of the words listed for this field"

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise self.refuse(value)
        return value


class NumberWord(Word):
    """A word that may be a bare number too: 2023 is "2023", 120 is "120"."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        if type(value) is int:
            value = str(value)
        return super()._deserialize(value, attr, data, **kwargs)

    def json_schema(self, known: dict[str, Any]) -> dict[str, Any]:
        """The words, and those of them that are numbers as numbers."""
        words = list(known["enum"])
        numbers = [int(word) for word in words if isinstance(word, str) and word.isdigit()]
        return {"type": ["string", "integer"], "enum": [*words, *numbers]}


class Day(Asked, fields.Date):
    """A calendar day, YYYY-MM-DD."""

    wanted = "a date as YYYY-MM-DD, such as 2025-10-01"

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> date:
        day = self._day(value)
        if not EARLIEST_DAY <= day <= LATEST_DAY:
            raise ValidationError(
                f"{day.isoformat()} is out of range; use a day from {EARLIEST_DAY.isoformat()} "
                f"to {LATEST_DAY.isoformat()}"
            )
        return day

    def _day(self, value: object) -> date:
        if type(value) is date:
            return value
        if not isinstance(value, str) or not _DAY.fullmatch(value):
            raise self.refuse(value)
        try:
            return date.fromisoformat(value)
        except ValueError:
            raise ValidationError(
                f"{shown(value)} is not a day of the calendar; give {self.wanted}"
            ) from None


class Part(Asked, fields.Nested):
    """One object inside another."""

    wanted = "an object"

    def _load(self, value: Any, partial: Any = None) -> Any:
        schema = self.schema
        assert isinstance(schema, Told)
        told = [schema.fault_free(item) for item in (value if self.many else (value,))]
        if None in told:
            return super()._load(value, partial)
        return told if self.many else told[0]


class Rows(Part):
    """A list of objects; a list that is too long is refused before its rows are read."""

    wanted = "a list of objects"

    def __init__(self, nested: Any, *, size: Size, **kwargs: Any) -> None:
        super().__init__(nested, many=True, validate=size, **kwargs)
        self.size = size

    def _deserialize(
        self, value: Any, attr: Any, data: Any, partial: Any = None, **kwargs: Any
    ) -> Any:
        check_list(self, self.size, value)
        return super()._deserialize(value, attr, data, partial=partial, **kwargs)


class Items(Asked, fields.List[Any]):
    """A list of simple values; a list that is too long is refused before they are read."""

    wanted = "a list"

    def __init__(
        self, inner: Any, *, size: Size, validate: Sequence[Any] = (), **kwargs: Any
    ) -> None:
        super().__init__(inner, validate=[size, *validate], **kwargs)
        self.size = size

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        check_list(self, self.size, value)
        return tuple(super()._deserialize(value, attr, data, **kwargs))


def check_list(field: Asked, size: Size, value: object) -> None:
    """Refuse what is not a list, or is longer than can be meant, before reading into it."""
    if not isinstance(value, list | tuple):
        raise field.refuse(value)
    if len(value) > size.most and (message := size.fault(len(value))):
        raise ValidationError(message)


def _unfit(text: str) -> str | None:
    """The first character that has no place in a name, None when all may stay."""
    for letter in text:
        if letter.isprintable():
            continue
        allowed = unicodedata.category(letter) in _ALLOWED_UNPRINTABLE
        if not allowed or letter in _TURNS_DIRECTION:
            return letter
    return None
