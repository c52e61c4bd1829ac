"""Global trade item numbers (GTIN-8, -12, -13, -14) and their check digit."""

import re
from functools import lru_cache

from estimator.catalogue.figures import shortened

LENGTHS = (8, 12, 13, 14)
_NONE = frozenset({"", "N/A", "NA", "NONE", "-", "0", "TBD"})
_SHORTENED = re.compile(r"[0-9](?:[.,][0-9]+)?E\+?[0-9]+", re.IGNORECASE)
_AS_TEXT = "Format the column as text and export again"


def check_digit(digits: str) -> int:
    """The check digit that follows these digits.

    From the right, digits count three times and once in turn; the check digit makes the sum a
    multiple of ten. Source: GS1 General Specifications, section 7.9.1.
    """
    total = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in _from_right(digits))
    return -total % 10


def _from_right(digits: str) -> enumerate[str]:
    return enumerate(reversed(digits))


def is_gtin(digits: str) -> bool:
    """Whether digits are as many as a GTIN has, and the last one is their check digit."""
    return len(digits) in LENGTHS and check_digit(digits[:-1]) == int(digits[-1])


@lru_cache(maxsize=16_384)
def read_gtin(cell: str) -> str:
    """The digits of a GTIN without blanks and hyphens; blank where the list has none.

    A lost leading zero is not put back: the digits might as well lack their check digit.
    Raises ValueError saying what is wrong and what to do.
    """
    text = cell.strip().strip("'")
    if text.upper() in _NONE:
        return ""
    if _SHORTENED.fullmatch(text):
        raise ValueError(f"{shortened(cell)} was shortened by a spreadsheet. {_AS_TEXT}")
    digits = text.removesuffix(".0").replace(" ", "").replace("-", "")
    if not (digits.isascii() and digits.isdigit()):
        raise ValueError(f"{shortened(cell)} has other signs than digits. Write 8, 12, 13 or 14")
    if len(digits) not in LENGTHS:
        raise ValueError(_wrong_length(digits, cell))
    if not is_gtin(digits):
        raise ValueError(_wrong_digit(digits, cell))
    return digits


def _wrong_length(digits: str, cell: str) -> str:
    count = len(digits)
    longer = [length for length in LENGTHS if length > count]
    for length in longer:
        if length - count <= 3 and is_gtin(digits.zfill(length)):
            zeros = "a leading zero" if length - count == 1 else f"{length - count} leading zeros"
            return (
                f"{shortened(cell)} has {count} digits; with {zeros} it is the GTIN-{length} "
                f"{digits.zfill(length)}. A spreadsheet drops leading zeros: {_AS_TEXT.lower()}"
            )
    if count + 1 in LENGTHS:
        return (
            f"{shortened(cell)} has {count} digits, so it lacks its check digit or a leading zero. "
            f"With its check digit it is {digits}{check_digit(digits)}"
        )
    return f"{shortened(cell)} has {count} digits; a GTIN has 8, 12, 13 or 14"


def _wrong_digit(digits: str, cell: str) -> str:
    if len(digits) == 8 and is_gtin(digits.zfill(12)):
        return (
            f"{shortened(cell)} is no GTIN-8; with 4 leading zeros it is the GTIN-12 "
            f"{digits.zfill(12)}. {_AS_TEXT}"
        )
    return (
        f"{shortened(cell)} ends with {digits[-1]}, but its check digit would be "
        f"{check_digit(digits[:-1])}: a digit is wrong. Compare it with the label"
    )
