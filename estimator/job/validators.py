"""Checks on one value, worded so that the user learns what was read and what can stand.

They are marshmallow's own kinds, so that the published interface shows their limits.
"""

import re
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import Any

from marshmallow import ValidationError, validate

from estimator.job.faults import listed, nearest, shown

_MOST_LISTED = 24
_FEW = 6
Choices = Sequence[Any] | Callable[[], Sequence[Any]]


class Within(validate.Range):
    """A number between two limits. above: the lower limit itself is left out."""

    def __init__(
        self,
        least: int,
        most: int,
        unit: str = "",
        *,
        above: bool = False,
        below: bool = False,
    ) -> None:
        super().__init__(least, most, min_inclusive=not above, max_inclusive=not below)
        self.unit = f" {unit}" if unit else ""
        low = f"more than {least}" if above else f"at least {least}"
        high = f"less than {most}" if below else f"at most {most}"
        self.allowed = f"{low} and {high}{self.unit}"
        self._inside = Decimal(least), Decimal(most)

    def __call__(self, value: Any) -> Any:
        # The usual value lies well inside and needs no further question.
        least, most = self._inside
        return value if least < value < most else super().__call__(value)

    def _format_error(self, value: Any, message: str) -> str:
        return f"{shown(value)} is out of range; use {self.allowed}"


class Size(validate.Length):
    """A number of things (letters, circuits) between two limits."""

    def __init__(self, least: int, most: int, things: str) -> None:
        super().__init__(min=least, max=most)
        self.least = least
        self.most = most
        self.things = things

    def fault(self, count: int) -> str | None:
        """What is wrong with this many, None when nothing is."""
        if self.least <= count <= self.most:
            return None
        return f"{count} {self.things} were given; give {self.least} to {self.most}"

    def __call__(self, value: Any) -> Any:
        if message := self.fault(len(value)):
            raise ValidationError(message)
        return value


class Choice(validate.OneOf):
    """One of a list. choices: the list, or a function that gives it when first needed."""

    def __init__(self, choices: Choices) -> None:
        # Not through OneOf: it would read the tables while this module is imported.
        self._choices = choices
        self.labels: Sequence[str] = ()
        self.labels_text = ""
        self.error = self.default_message

    @property
    def choices(self) -> Sequence[Any]:  # type: ignore[override]
        """The values that can stand."""
        return self._choices() if callable(self._choices) else self._choices

    @cached_property
    def _known(self) -> frozenset[Any]:
        return frozenset(self.choices)

    @property
    def choices_text(self) -> str:  # type: ignore[override]
        """The values that can stand, as one text; a long list is cut short."""
        choices = self.choices
        if len(choices) <= _MOST_LISTED:
            return listed(choices)
        return f"{', '.join(map(str, choices[:_FEW]))} … ({len(choices)} in all)"

    def __call__(self, value: Any) -> Any:
        if value not in self._known:
            raise ValidationError(self._message(value))
        return value

    def _message(self, value: Any) -> str:
        if not isinstance(value, str):
            return f"{shown(value)} cannot stand here; use {self.choices_text}"
        if alike := nearest(value, self.choices):
            return (
                f"{shown(value)} is not known here; did you mean {listed(alike)}? "
                f"It can be {self.choices_text}"
            )
        return f"{shown(value)} is not known here; use {self.choices_text}"


class Form(validate.Validator):
    """A text of a given form. wanted: the form in words."""

    def __init__(self, pattern: str, wanted: str) -> None:
        self.regex = re.compile(pattern)
        self.wanted = wanted

    def __call__(self, value: str) -> str:
        if self.regex.fullmatch(value) is None:
            raise ValidationError(f"{shown(value)} cannot stand here; use {self.wanted}")
        return value


class DifferentItems(validate.Validator):
    """A list in which nothing stands twice."""

    def __call__(self, value: Sequence[Any]) -> Sequence[Any]:
        if twice := {shown(item) for item in value if value.count(item) > 1}:
            raise ValidationError(f"{listed(sorted(twice))} stands twice; give each once")
        return value


EARLIEST_DAY = date(2000, 1, 1)
LATEST_DAY = date(2100, 12, 31)
