"""Words for faults: JSON pointers, values as they were read, nearest choices."""

import difflib
from collections.abc import Iterable, Sequence
from decimal import Decimal

from estimator.finding import Fault
from estimator.units import plain

MOST_FAULTS = 1000
_LONGEST_SHOWN = 60
_LONGEST_PLAIN_NUMBER = 15


def pointer(where: str, token: str | int) -> str:
    """JSON pointer of a member: "~" and "/" escaped, unprintable or endless names tamed."""
    text = str(token)
    if len(text) > _LONGEST_SHOWN:
        text = text[:_LONGEST_SHOWN] + "…"
    if not text.isprintable():
        text = _printable(text)
    return f"{where}/{text.replace('~', '~0').replace('/', '~1')}"


def shown(value: object) -> str:
    """A value as it was read, short enough to stand in a sentence."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{_shortened(value)}'" if value else "empty text"
    if isinstance(value, Decimal):
        return _decimal(value)
    if isinstance(value, int):
        return str(value) if abs(value) < 10**_LONGEST_SHOWN else "a number of endless digits"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, dict):
        return "an object" if value else "an empty object"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}" if value else "an empty list"
    return f"a value of type {type(value).__name__}"


def nearest(word: str, choices: Iterable[str], count: int = 3) -> tuple[str, ...]:
    """The choices that look most like a word, best first; none when nothing is alike."""
    if len(word) > _LONGEST_SHOWN:
        return ()
    by_lower = {choice.lower(): choice for choice in choices}
    found = difflib.get_close_matches(word.lower(), by_lower, n=count, cutoff=0.6)
    return tuple(by_lower[lower] for lower in found)


def listed(choices: Sequence[object]) -> str:
    """Choices in a sentence: "a", "a or b", "a, b or c"."""
    words = [str(choice) for choice in choices]
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} or {words[-1]}"


def capped(faults: Sequence[Fault]) -> tuple[Fault, ...]:
    """All faults, or the first thousand with one more that counts the others."""
    if len(faults) <= MOST_FAULTS:
        return tuple(faults)
    others = len(faults) - MOST_FAULTS
    return (
        *faults[:MOST_FAULTS],
        Fault("", f"{others} further faults are not listed; mend those above first"),
    )


def _decimal(value: Decimal) -> str:
    if not value.is_finite():
        return "a value that is not a number" if value.is_nan() else "an infinite number"
    if abs(value.adjusted()) > _LONGEST_PLAIN_NUMBER:
        return _shortened(str(value))
    return _shortened(plain(value))


def _shortened(text: str) -> str:
    if len(text) > _LONGEST_SHOWN:
        text = text[:_LONGEST_SHOWN] + "…"
    return text if text.isprintable() else _printable(text)


def _printable(text: str) -> str:
    return "".join(
        letter if letter.isprintable() else letter.encode("unicode_escape").decode("ascii")
        for letter in text
    )
