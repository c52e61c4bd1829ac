"""Dates as price lists write them: ISO, 8 digits, month names, 3/4/26, serial numbers."""

import re
from collections.abc import Mapping
from datetime import date, timedelta
from functools import lru_cache

from estimator.catalogue.figures import shortened

_FIRST_YEAR, _LAST_YEAR = 1990, 2100
_NEVER = 9999
# Serial numbers of workbooks count days so that 1 March 1900 is 61 (ECMA-376, part 1,
# 18.17.4.1); the difference before that day does not matter for prices.
_SERIAL_ZERO = date(1899, 12, 30)
_MONTHS: Mapping[str, int] = {
    "jan": 1, "feb": 2, "mar": 3, "apr": 4, "may": 5, "jun": 6,
    "jul": 7, "aug": 8, "sep": 9, "oct": 10, "nov": 11, "dec": 12,
}  # fmt: skip
_TIME = re.compile(r"[T ]0{1,2}:00(?::00(?:\.0+)?)?Z?$")
_ISO = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})")
_DIGITS = re.compile(r"[0-9]{8}")
_SERIAL = re.compile(r"([0-9]{5})(?:\.0+)?")
_PARTS = re.compile(r"([0-9]{1,2})([-/.])([0-9]{1,2})\2([0-9]{4}|[0-9]{2})")
_DAY_MONTH = re.compile(r"([0-9]{1,2})[-/. ]*([A-Za-z]{3,9})\.?[-/., ]*([0-9]{4}|[0-9]{2})")
_MONTH_DAY = re.compile(r"([A-Za-z]{3,9})\.?[-/. ]+([0-9]{1,2})[-/., ]+([0-9]{4}|[0-9]{2})")
_HOW = "Write it as 2026-03-04"


def shows_day_first(cell: str) -> bool:
    """Whether a date can only have the day before the month, as 25/12/26 has."""
    found = _two_numbers(cell)
    return found is not None and 12 < found[0] <= 31 and 1 <= found[1] <= 12


def shows_month_first(cell: str) -> bool:
    """Whether a date can only have the month before the day, as 12/25/26 has."""
    found = _two_numbers(cell)
    return found is not None and 1 <= found[0] <= 12 < found[1] <= 31


@lru_cache(maxsize=16_384)
def read_date(cell: str, day_first: bool | None) -> date | None:
    """A date; None for a blank cell, and for the year 9999, which stands for "never".

    day_first: the order in this list of day and month in 03/04/26; None: not known, so such
    a date is refused. With points, as in 04.03.2026, the day always stands first. Numbers of
    five digits are days of the 1900 date system. Raises ValueError.
    """
    text = _TIME.sub("", cell.strip().strip("'")).strip()
    if not text:
        return None
    found = _year_first(text) or _eight_digits(text, cell, day_first) or _named(text)
    if found is None:
        parts = _PARTS.fullmatch(text)
        if parts is not None:
            found = _ordered(parts[1], parts[2], parts[3], parts[4], cell, day_first)
    serial = _SERIAL.fullmatch(text)
    if found is None and serial is not None:
        day = _SERIAL_ZERO + timedelta(days=int(serial[1]))
        found = (day.year, day.month, day.day)
    if found is None:
        raise ValueError(f"{shortened(cell)} is not a date. {_HOW}")
    return _checked(found, cell)


def _checked(found: tuple[int, int, int], cell: str) -> date | None:
    year, month, day = found
    if year == _NEVER:
        return None
    try:
        read = date(year, month, day)
    except ValueError:
        raise ValueError(f"{shortened(cell)} is not a day of the calendar. {_HOW}") from None
    if not _FIRST_YEAR <= year <= _LAST_YEAR:
        raise ValueError(
            f"{shortened(cell)} is in the year {year}; prices are dated from {_FIRST_YEAR} to "
            f"{_LAST_YEAR}. {_HOW}"
        )
    return read


def _year_first(text: str) -> tuple[int, int, int] | None:
    found = _ISO.fullmatch(text)
    return None if found is None else (int(found[1]), int(found[2]), int(found[3]))


def _eight_digits(text: str, cell: str, day_first: bool | None) -> tuple[int, int, int] | None:
    if not _DIGITS.fullmatch(text):
        return None
    if _FIRST_YEAR <= int(text[:4]) <= _LAST_YEAR or text.startswith(str(_NEVER)):
        return (int(text[:4]), int(text[4:6]), int(text[6:]))
    return _ordered(text[:2], "", text[2:4], text[4:], cell, day_first)


def _named(text: str) -> tuple[int, int, int] | None:
    for pattern, month_at, day_at in ((_DAY_MONTH, 2, 1), (_MONTH_DAY, 1, 2)):
        found = pattern.fullmatch(text)
        if found is not None:
            month = _MONTHS.get(found[month_at][:3].casefold())
            return None if month is None else (_year(found[3]), month, int(found[day_at]))
    return None


def _ordered(
    first: str, sign: str, second: str, year: str, cell: str, day_first: bool | None
) -> tuple[int, int, int]:
    one, two = int(first), int(second)
    if sign == ".":
        day_first = True
    elif one == two:
        day_first = False
    elif day_first is None and one > 12:
        day_first = True
    elif day_first is None and two > 12:
        day_first = False
    if day_first is None:
        raise ValueError(
            f"{shortened(cell)} can be read in two ways: day or month first? "
            f"Say it for the whole list, or write it as {_year(year)}-{one:02}-{two:02} "
            f"or {_year(year)}-{two:02}-{one:02}"
        )
    month, day = (two, one) if day_first else (one, two)
    return (_year(year), month, day)


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def _two_numbers(cell: str) -> tuple[int, int] | None:
    text = _TIME.sub("", cell.strip().strip("'")).strip()
    parts = _PARTS.fullmatch(text)
    if parts is not None and parts[2] != ".":
        return (int(parts[1]), int(parts[3]))
    if _DIGITS.fullmatch(text) and not _FIRST_YEAR <= int(text[:4]) <= _LAST_YEAR:
        return (int(text[:2]), int(text[2:4]))
    return None
