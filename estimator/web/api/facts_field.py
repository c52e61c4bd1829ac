"""A field of texts by name."""

from typing import Any

from marshmallow import ValidationError, fields

from estimator.job.asked import Asked
from estimator.job.schema_fields import Text

_MOST = 50
_LONGEST = 200


class Facts(Asked, fields.Dict):
    """Texts by name, on one line each."""

    wanted = 'an object of texts by name, such as {"household_income": "64000"}'

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(keys=fields.String(), values=fields.String(), **kwargs)
        self._text = Text()

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> dict[str, str]:
        if not isinstance(value, dict) or len(value) > _MOST:
            raise self.refuse(value)
        faults: dict[str, Any] = {}
        for name, fact in value.items():
            if not isinstance(fact, str) or not 0 < len(fact) <= _LONGEST or len(name) > _LONGEST:
                faults[name] = [f"must be text of 1 to {_LONGEST} characters"]
                continue
            try:
                self._text.deserialize(name)
                self._text.deserialize(fact)
            except ValidationError as error:
                faults[name] = error.messages
        if faults:
            raise ValidationError(faults)
        return dict(value)
