"""Numbers of a job: exact decimals and whole numbers, never rounded and never guessed."""

import re
from decimal import Decimal
from typing import Any

from marshmallow import ValidationError, fields

from estimator.job.asked import Asked
from estimator.job.faults import shown
from estimator.job.validators import Within

_PLAIN_NUMBER = re.compile(r"-?[0-9]{1,12}(\.[0-9]{1,6})?")
_DIGITS_BEFORE_POINT = 12
_BEYOND_ANY_FIGURE = 10**_DIGITS_BEFORE_POINT
_MOST_DIGITS = 60


class DecimalText(Asked):
    """An exact number, as a number or as text of plain digits ("95.00").

    places: the most decimal places it may have.
    """

    wanted = "a number, such as 18 or '18.5'"

    def __init__(self, *, places: int = 4, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.places = places
        self.metadata = {"type": ["number", "string"], **self.metadata}

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Decimal:
        if type(value) is int and -_BEYOND_ANY_FIGURE < value < _BEYOND_ANY_FIGURE:
            return Decimal(value)
        number = self._number(value)
        if number.adjusted() >= _DIGITS_BEFORE_POINT:
            raise ValidationError(f"{shown(number)} is beyond any figure of a job")
        exponent = number.as_tuple().exponent
        if not isinstance(exponent, int) or -exponent > _MOST_DIGITS:
            raise self._too_fine(number)
        if -exponent > self.places:
            number = _without_last_zeros(number)
            if -number.as_tuple().exponent > self.places:  # type: ignore[operator]
                raise self._too_fine(number)
        elif exponent > 0:
            number = Decimal(int(number))
        return number if number else abs(number)

    def _number(self, value: object) -> Decimal:
        if isinstance(value, bool):
            raise self.refuse(value)
        if isinstance(value, str) and _PLAIN_NUMBER.fullmatch(value):
            return Decimal(value)
        if isinstance(value, float):
            value = Decimal(repr(value))
        if isinstance(value, int):
            if abs(value) >= _BEYOND_ANY_FIGURE:
                raise ValidationError(f"{shown(value)} is beyond any figure of a job")
            return Decimal(value)
        if isinstance(value, Decimal):
            if not value.is_finite():
                raise ValidationError(f"read {shown(value)}; give {self.wanted}")
            return value
        raise self.refuse(value)

    def _too_fine(self, number: Decimal) -> ValidationError:
        return ValidationError(
            f"{shown(number)} has more than {self.places} decimal places; round it"
        )

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        # Limits are whole numbers and stay so in the published interface.
        return str(value) if isinstance(value, Decimal) else value

    def json_schema(self, known: dict[str, Any]) -> dict[str, Any]:
        """Limits on the number, and the pattern of the text."""
        limits: dict[str, Any] = {}
        for check in self.validators:
            if isinstance(check, Within):
                limits["minimum" if check.min_inclusive else "exclusiveMinimum"] = check.min
                limits["maximum" if check.max_inclusive else "exclusiveMaximum"] = check.max
        for name in ("x-minimum", "x-maximum"):
            known.pop(name, None)
        return {"pattern": f"^-?[0-9]{{1,12}}(\\.[0-9]{{1,{max(self.places, 1)}}})?$", **limits}


class Whole(Asked, fields.Integer):
    """A whole number, as a number: no text, no true or false."""

    wanted = "a whole number without quotes"

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        if type(value) is int:
            if abs(value) >= _BEYOND_ANY_FIGURE:
                raise ValidationError(f"{shown(value)} is beyond any figure of a job")
            return value
        if isinstance(value, Decimal | float):
            number = Decimal(value)
            if number.is_finite() and abs(number.adjusted()) < _DIGITS_BEFORE_POINT:
                whole = int(number)
                if whole == number:
                    return whole
        raise self.refuse(value)


def _without_last_zeros(number: Decimal) -> Decimal:
    sign, digits, exponent = number.as_tuple()
    assert isinstance(exponent, int)
    kept = list(digits)
    while len(kept) > 1 and kept[-1] == 0 and exponent < 0:
        kept.pop()
        exponent += 1
    return Decimal((sign, tuple(kept), exponent)) if any(kept) else Decimal(0)
