"""Numbers as price lists write them: currency signs, thousands separators, decimal commas."""

import re
from collections.abc import Mapping
from decimal import Decimal

MAX_PRICE = Decimal(10_000_000)
MAX_PACK = Decimal(1_000_000)
_MAX_LENGTH = 30

_SIGNS: Mapping[str, frozenset[str]] = {
    "$": frozenset({"USD", "CAD", "AUD", "NZD", "MXN"}),
    "US$": frozenset({"USD"}),
    "€": frozenset({"EUR"}),
    "£": frozenset({"GBP"}),
}
_SPLIT = re.compile(r"([^0-9.,]*)([0-9.,](?:[0-9.,' \u00a0\u202f\u2019]*[0-9.,])?)([^0-9.,]*)")
_GAPS = re.compile(r"(?<=[0-9])[' \u00a0\u202f\u2019](?=[0-9]{3}(?![0-9]))")
_POINT = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+")
_COMMA = re.compile(r"[0-9]+,[0-9]+")
_GROUPED_BY_COMMA = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?")
_GROUPED_BY_POINT = re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+(?:,[0-9]+)?")
_SURE_DECIMAL_COMMA = re.compile(
    r"(?<![0-9,.])(?:0,[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,}))(?![0-9,.])"
    r"|\.[0-9]{3},[0-9]+(?![0-9,.])"
)
_SURE_DECIMAL_POINT = re.compile(
    r"(?<![0-9,.])(?:0?\.[0-9]+|[0-9]+\.(?:[0-9]{1,2}|[0-9]{4,}))(?![0-9,.])"
    r"|,[0-9]{3}\.[0-9]+(?![0-9,.])"
)


def shows_decimal_comma(cell: str) -> bool:
    """Whether a price can only be read with a comma before the decimals: 12,50 or 1.234,5."""
    return "," in cell and bool(_SURE_DECIMAL_COMMA.search(cell))


def shows_decimal_point(cell: str) -> bool:
    """Whether a price can only be read with a point before the decimals: 12.50 or 1,234.5."""
    return "." in cell and bool(_SURE_DECIMAL_POINT.search(cell))


def read_price(cell: str, currency: str, decimal_commas: bool) -> Decimal:
    """A price above zero, as printed.

    decimal_commas: the file shows decimal commas, so 1,234 may be either; it is refused.
    Raises ValueError for blank, words, zero, negative, too large and ambiguous prices.
    """
    text = cell.strip().strip("\"'").strip()
    if not text:
        raise ValueError("is blank; an item needs a price, such as 12.50")
    negative = text.startswith(("-", "(", "\u2212")) or text.endswith("-")
    if negative:
        text = text.strip("-()\u2212 ")
    split = _SPLIT.fullmatch(text)
    if split is None or len(text) > _MAX_LENGTH:
        raise ValueError(f"{_short(cell)} is not a price. Write a number, such as 12.50")
    for mark in (split[1].strip().upper(), split[3].strip().upper()):
        _check_mark(mark, currency, cell)
    price = _number(split[2], cell, decimal_commas)
    if negative or price == 0:
        raise ValueError(f"{_short(cell)} is not above zero. Ask the supplier for the price")
    if price > MAX_PRICE:
        raise ValueError(f"{_short(cell)} is above {MAX_PRICE:,}, the most that can be read")
    return price


def read_pack(cell: str, decimal_commas: bool) -> Decimal:
    """Units in a pack, above zero, at most four decimals; a blank cell is 1.

    Raises ValueError for anything else.
    """
    text = cell.strip()
    if not text:
        return Decimal(1)
    try:
        if len(text) > _MAX_LENGTH:
            raise ValueError
        pack = _number(text, cell, decimal_commas)
    except ValueError:
        pack = Decimal(0)
    if not 0 < pack <= MAX_PACK or pack * 10_000 % 1:
        raise ValueError(
            f"{_short(cell)} is not a number of units above zero. Write how many pieces or feet "
            "are sold at once, such as 100, or leave it blank for 1"
        )
    return pack


def read_pieces(cell: str) -> int:
    """Separate pieces in a pack, at least 1; a blank cell is 1. Raises ValueError."""
    text = cell.strip() or "1"
    if not text.isascii() or not text.isdigit() or not 0 < len(text) <= 5 or int(text) < 1:
        raise ValueError(
            f"{_short(cell)} is not a number of pieces. Write a whole number, or leave it blank"
        )
    return int(text)


def _check_mark(mark: str, currency: str, cell: str) -> None:
    if mark in ("", currency):
        return
    allowed = _SIGNS.get(mark)
    if allowed is not None and currency in allowed:
        return
    if allowed is not None or (len(mark) == 3 and mark.isalpha()):
        raise ValueError(
            f"{_short(cell)} is marked {mark} but the row is in {currency}. "
            "Give the currency in column currency"
        )
    raise ValueError(f"{_short(cell)} is not a price. Write a number, such as 12.50")


def _number(text: str, cell: str, decimal_commas: bool) -> Decimal:
    digits = _GAPS.sub("", text.strip())
    if _POINT.fullmatch(digits):
        if decimal_commas and _GROUPED_BY_POINT.fullmatch(digits):
            raise _ambiguous(cell)
        return Decimal(digits)
    if _COMMA.fullmatch(digits) and not _GROUPED_BY_COMMA.fullmatch(digits):
        return Decimal(digits.replace(",", "."))
    if _GROUPED_BY_COMMA.fullmatch(digits):
        if decimal_commas and digits.count(",") == 1 and "." not in digits:
            raise _ambiguous(cell)
        return Decimal(digits.replace(",", ""))
    if _GROUPED_BY_POINT.fullmatch(digits):
        return Decimal(digits.replace(".", "").replace(",", "."))
    raise ValueError(f"{_short(cell)} is not a number. Write it plainly, such as 1234.50")


def _ambiguous(cell: str) -> ValueError:
    return ValueError(
        f"{_short(cell)} can be read in two ways in a list that has decimal commas. "
        "Write it without a thousands separator and with two decimals"
    )


def _short(cell: str) -> str:
    text = cell.strip()
    return repr(text if len(text) <= 40 else text[:37] + "...")
