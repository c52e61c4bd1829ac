"""What a job document may not be, whatever its format, and how each fault is worded."""

import re
from decimal import Decimal, InvalidOperation

from estimator.finding import Fault, InputRefused
from estimator.job.faults import shown

MOST_BYTES = 1024 * 1024
MOST_DEPTH = 40
MOST_VALUES = 50_000
TOO_DEEP = f"is nested deeper than {MOST_DEPTH} levels; a job needs four"
_MOST_DIGITS = 40
WHOLE = re.compile(r"[-+]?(0|[1-9][0-9]*)")


def refused(name: str, message: str) -> InputRefused:
    """The refusal of a document as a whole."""
    return InputRefused(name, (Fault("", f"the document {message}"),))


def exact_number(text: str) -> int | Decimal | None:
    """An exact number; None when it has too many digits to be a real figure."""
    if len(text) > _MOST_DIGITS:
        return None
    try:
        return int(text) if WHOLE.fullmatch(text) else Decimal(text)
    except InvalidOperation:
        return None


def stands_twice(key: str) -> str:
    """Message for a name that an object has more than once."""
    return f"{shown(key)} stands twice in one object; keep the one that is meant"


def not_a_number(word: str) -> str:
    """Message for NaN and the infinities."""
    return f"read {word}, which is not a number; give a number or leave the field out"


def too_long(digits: str) -> str:
    """Message for a number of endless digits."""
    return f"read the number {shown(digits)}, which is beyond any figure of a job"
