"""Numbers of quotes: the year and a place in that year's sequence, which has no holes."""

import re

_DIGITS = 4
_NUMBER = re.compile(r"([0-9]{4})-([0-9]{4,9})")


def quote_number(year: int, sequence: int) -> str:
    """The number as printed: "2026-0007"; more digits once there are more than 9,999 a year."""
    if not (1000 <= year <= 9999 and sequence >= 1):
        raise ValueError(f"year {year}, sequence {sequence}: no number can be made of them")
    return f"{year}-{sequence:0{_DIGITS}}"


def read_quote_number(text: str) -> tuple[int, int]:
    """Year and sequence of a printed number. Raises ValueError for any other text."""
    found = _NUMBER.fullmatch(text.strip())
    if found is None:
        raise ValueError(f"{text[:20]!r} is not the number of a quote; write it as 2026-0007")
    year, sequence = int(found[1]), int(found[2])
    if quote_number(year, sequence) != text.strip():
        raise ValueError(f"{text[:20]!r} has needless zeros; write {quote_number(year, sequence)}")
    return year, sequence


def counter_name(year: int) -> str:
    """The name of a year's sequence."""
    return f"quotes/{year}"
