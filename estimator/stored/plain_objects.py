"""Objects as they were read exactly, made fit for any JSON writer."""

from decimal import Decimal
from typing import Any

_MOST_DIGITS = 60


def plain_objects(value: Any) -> Any:
    """The same objects with exact decimals as text, whole ones as whole numbers."""
    if isinstance(value, dict):
        return {name: plain_objects(each) for name, each in value.items()}
    if isinstance(value, list):
        return [plain_objects(each) for each in value]
    return _number(value) if isinstance(value, Decimal) else value


def _number(value: Decimal) -> int | str:
    if abs(value.adjusted()) > _MOST_DIGITS:
        return str(value)
    whole = int(value)
    return whole if value == whole else f"{value:f}"
