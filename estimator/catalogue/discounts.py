"""From list price to net price: multipliers and chains of discounts."""

import re
from decimal import Decimal
from functools import lru_cache

from estimator.catalogue.figures import number, shortened

_HUNDRED = Decimal(100)
_MOST = Decimal(2)
_LINKS = re.compile(r"\s*(?:/|\+|&|\bplus\b|\band\b)\s*", re.IGNORECASE)
_LONGEST = 40


@lru_cache(maxsize=4096)
def read_multiplier(cell: str, decimal_commas: bool) -> Decimal:
    """What a list price is multiplied by, above 0 and at most 2, such as 0.62.

    Raises ValueError for anything else; 62 is a percentage, not a multiplier.
    """
    text = cell.strip().lower().strip("x\u00d7 ").strip()
    try:
        found = number(text, cell, decimal_commas)
    except ValueError:
        found = Decimal(0)
    if not 0 < found <= _MOST:
        raise ValueError(
            f"{shortened(cell)} is not a multiplier from 0 to {_MOST}. Write 0.62 to pay 62 "
            "hundredths of the list price"
        )
    return found


@lru_cache(maxsize=4096)
def read_discount(cell: str, decimal_commas: bool) -> Decimal:
    """What a list price is multiplied by after a discount, or a chain of them.

    "38" and "38 %" leave 0.62; "50/10/5" leaves 0.50 x 0.90 x 0.95, each taken from what the
    one before left. Raises ValueError: below 0, 100 or more, or a bare figure between 0 and 1,
    which may be a percentage or a share.
    """
    text = re.sub(r"^(?:less\b|list\s+less\b|-|\u2212)\s*", "", cell.strip().lower()).strip()
    factor = Decimal(1)
    links = _LINKS.split(text)
    if len(text) > _LONGEST:
        raise _no_discount(cell)
    for link in links:
        percent = _percent(link.strip(), cell, decimal_commas, marked="%" in text)
        factor *= (_HUNDRED - percent) / _HUNDRED
    return factor


def _percent(link: str, cell: str, decimal_commas: bool, *, marked: bool) -> Decimal:
    try:
        found = number(link.removesuffix("%").strip(), cell, decimal_commas)
    except ValueError:
        raise _no_discount(cell) from None
    if found >= _HUNDRED:
        raise ValueError(f"{shortened(cell)} takes all of the price or more. Write less than 100")
    if 0 < found < 1 and not marked:
        raise ValueError(
            f"{shortened(cell)} may be a percentage or a share of one. "
            f"Write {found * _HUNDRED:f} % or {found:f} %"
        )
    return found


def _no_discount(cell: str) -> ValueError:
    return ValueError(
        f"{shortened(cell)} is not a discount. Write percentages, such as 38 or 50/10/5. If a "
        "spreadsheet made a date of it, format the column as text and export again"
    )
