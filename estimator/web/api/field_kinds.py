"""Kinds of field of stored resources: what is asked, and what is answered."""

import unicodedata
from decimal import Decimal
from typing import Any
from uuid import UUID

from marshmallow import ValidationError, fields, validate

from estimator.job.asked import Asked
from estimator.job.schema import JobSchema
from estimator.job.schema_fields import Part, Text

_MOST_TEXT = 4_000
_ALLOWED_CONTROLS = frozenset("\n\r\t")
_NO_TEXT = frozenset({"Cc", "Cs"})


class LongText(Asked, fields.String):
    """Text of several lines."""

    wanted = "text in quotes"

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise self.refuse(value)
        for letter in value:
            if unicodedata.category(letter) in _NO_TEXT and letter not in _ALLOWED_CONTROLS:
                raise ValidationError(
                    f"contains the control character U+{ord(letter):04X}; take it out"
                )
        return value


class Identifier(Asked, fields.UUID):
    """The identifier of something stored."""

    wanted = "an identifier such as 018f0000-0000-7000-8000-000000000001"

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> UUID:
        try:
            return UUID(value) if isinstance(value, str) and len(value) == 36 else UUID("")
        except ValueError:
            raise self.refuse(value) from None


class Whole(Asked, fields.Integer):
    """A whole number; in an address it comes as digits."""

    wanted = "a whole number without a sign"

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        if type(value) is int and value >= 0:
            return value
        if isinstance(value, str) and value.isascii() and value.isdigit() and len(value) <= 9:
            return int(value)
        raise self.refuse(value)


class WordYesNo(Asked, fields.Boolean):
    """True or false in an address."""

    wanted = "true or false"

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> bool:
        if value in ("true", "false"):
            return bool(value == "true")
        raise self.refuse(value)


class Amount(fields.String):
    """An amount of money in an answer, with two places."""

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else f"{Decimal(value):.2f}"


class Description(Part):
    """A job description: kept as plain objects, and checked by the job's own rules later."""

    wanted = "a job description as an object"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(JobSchema, **kwargs)

    def _deserialize(
        self, value: Any, attr: Any, data: Any, partial: Any = None, **kwargs: Any
    ) -> Any:
        if not isinstance(value, dict):
            raise self.refuse(value)
        return value

    # The library's own kinds of field disagree on the name of the first argument.
    def _serialize(  # type: ignore[override]
        self, nested_obj: Any, attr: Any, obj: Any, **kwargs: Any
    ) -> Any:
        return nested_obj


def name(description: str, example: str, *, required: bool = True) -> Text:
    """A name on one line."""
    return Text(
        required=required,
        validate=validate.Length(min=1, max=200),
        metadata={"description": description, "example": example},
    )


def remark(description: str, example: str = "", *, most: int = _MOST_TEXT) -> LongText:
    """Text that may be left out."""
    metadata = {"description": description} | ({"example": example} if example else {})
    return LongText(load_default="", validate=validate.Length(max=most), metadata=metadata)


def optional_id(description: str) -> Identifier:
    """An identifier that may be left out or null."""
    return Identifier(load_default=None, allow_none=True, metadata={"description": description})


def answered(
    kind: type[fields.Field[Any]], description: str, example: Any = None, *, nullable: bool = False
) -> Any:
    """A field of an answer."""
    metadata = {"description": description} | ({} if example is None else {"example": example})
    return kind(required=True, allow_none=nullable, metadata=metadata)


def answered_id(description: str, *, nullable: bool = False) -> Any:
    """An identifier in an answer."""
    example = "018f0000-0000-7000-8000-000000000001"
    return answered(fields.UUID, description, example, nullable=nullable)


def moment(description: str, *, nullable: bool = False) -> Any:
    """A point in time in an answer, in UTC."""
    example = "2026-03-02T15:30:45+00:00"
    return answered(fields.AwareDateTime, description, example, nullable=nullable)


def day(description: str, *, nullable: bool = False) -> Any:
    """A day in an answer."""
    return answered(fields.Date, description, "2026-04-01", nullable=nullable)


def amount(description: str, example: str, *, nullable: bool = False) -> Any:
    """Money in an answer, to the cent."""
    return answered(Amount, f"{description}; exact decimal as text", example, nullable=nullable)
