"""Schema of what the user has already."""

from decimal import Decimal
from typing import Any

from marshmallow import INCLUDE, ValidationError, validates_schema

from estimator.job.asked import about
from estimator.job.limits import WORD_FORM
from estimator.job.number_fields import DecimalText
from estimator.job.schema_fields import Text, Word
from estimator.job.told import Told, UnknownName
from estimator.job.validators import Choice, Size, Within

_MOST_STOCK_ATTRIBUTES = 12


class StockSchema(Told):
    """Something the user has already: kind, quantity, unit and the attributes of that kind."""

    class Meta:
        unknown = INCLUDE

    kind = Word(required=True, validate=WORD_FORM, metadata=about("kind of part", "conductor"))
    quantity = DecimalText(
        required=True,
        validate=Within(0, 1_000_000, above=True),
        metadata=about("how much of it", 40),
    )
    unit = Word(required=True, validate=Choice(("ea", "ft")), metadata=about("each or foot", "ft"))

    def fault_free(self, data: object) -> dict[Any, Any] | None:
        """As every part of a job, with the attributes of the part in the order told."""
        if type(data) is not dict:
            return None
        known = super().fault_free({name: data[name] for name in data if name in self.fields})
        if known is None or self._attribute_faults(data):
            return None
        return {name: known.get(name, value) for name, value in data.items()}

    @validates_schema(skip_on_field_errors=False)
    def attributes_can_stand(self, data: dict[Any, Any], **kwargs: Any) -> None:
        """Every further field is an attribute of the part: a plain name, a text or number."""
        if faults := self._attribute_faults(data):
            raise ValidationError(faults)

    def _attribute_faults(self, data: dict[Any, Any]) -> str | dict[str, Any] | None:
        given = {key: value for key, value in data.items() if key not in self.fields}
        if len(given) > _MOST_STOCK_ATTRIBUTES:
            return f"{len(given)} attributes were given; give {_MOST_STOCK_ATTRIBUTES} at most"
        faults: dict[str, Any] = {}
        for key, value in given.items():
            try:
                WORD_FORM(key if isinstance(key, str) else str(key))
                if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
                    _ATTRIBUTE.deserialize(value)
                else:
                    _ATTRIBUTE_NUMBER.deserialize(value)
            except ValidationError as error:
                faults[UnknownName(str(key))] = error.messages
        return faults or None


_ATTRIBUTE = Text(validate=Size(1, 80, "characters"))
_ATTRIBUTE_NUMBER = DecimalText()
