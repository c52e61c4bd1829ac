"""A price as a list writes it: money, with what it is for where that is written beside it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache

from estimator.catalogue.figures import MAX_LENGTH, number, shortened
from estimator.catalogue.units_of_measure import known_unit
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table

MAX_PRICE = Decimal(10_000_000)
_SIGNS: Mapping[str, frozenset[str]] = {
    "$": frozenset({"USD", "CAD", "AUD", "NZD", "MXN"}),
    "US$": frozenset({"USD"}),
    "€": frozenset({"EUR"}),
    "£": frozenset({"GBP"}),
}
_CURRENCIES = frozenset().union(*_SIGNS.values())
_PLAIN = re.compile(r"[0-9]{1,7}\.[0-9]{2}|[0-9]{1,7}")
_SPLIT = re.compile(r"([^0-9.,]*)([0-9.,](?:[0-9.,' \u00a0\u202f\u2019]*[0-9.,])?)([^0-9.,]*)")
_PER = re.compile(r"(?<=[0-9$€£A-Za-z ])\s*(?:/|\bper\b)\s*(?=\S)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PriceWord:
    """A word that stands where a price should, and what it tells."""

    written: str
    why: str
    source: str


@cache
def load_price_words() -> Mapping[str, str]:
    """What the words that stand for a price tell, by their spelling; read once in a process."""
    name = "lexicon/price_words.csv"
    rows = read_table(
        package_text("estimator.catalogue", name),
        PriceWord,
        name=name,
        key=("written",),
        sources=load_sources(),
    )
    return {row.written: row.why for row in rows}


@lru_cache(maxsize=65_536)
def read_price(cell: str, currency: str, decimal_commas: bool) -> tuple[Decimal, str]:
    """A price above zero, as printed, and the unit that is written with it (blank: none).

    decimal_commas: the file shows decimal commas, so 1,234 may be either; it is refused.
    Raises ValueError for blank, words, zero, negative, too large and ambiguous prices.
    """
    if _PLAIN.fullmatch(cell):
        return _in_range(Decimal(cell), cell), ""
    text = cell.strip().strip("\"'").strip()
    if not text:
        raise ValueError("is blank; an item needs a price, such as 12.50")
    why = load_price_words().get(" ".join(text.upper().split()))
    if why:
        raise ValueError(
            f"{shortened(cell)} is not a price: {why}. Ask the supplier and write a number"
        )
    text, unit = _apart(text)
    negative = text.startswith(("-", "(", "\u2212")) or text.endswith("-")
    if negative:
        text = text.strip("-()\u2212 ")
    split = _SPLIT.fullmatch(text)
    if split is None or len(text) > MAX_LENGTH:
        raise _no_price(cell)
    before, after = split[1].strip().upper(), split[3].strip().upper()
    if not unit and after and after not in _CURRENCIES and known_unit(after):
        unit, after = after, ""
    for mark in (before, after):
        _check_mark(mark, currency, cell)
    price = number(split[2], cell, decimal_commas)
    if negative:
        price = -price
    return _in_range(price, cell), unit


def _apart(text: str) -> tuple[str, str]:
    """The price and the unit after "/" or "per"."""
    parts = _PER.split(text, maxsplit=1)
    return (parts[0].strip(), parts[1].strip()) if len(parts) == 2 else (text, "")


def _in_range(price: Decimal, cell: str) -> Decimal:
    if price <= 0:
        raise ValueError(f"{shortened(cell)} is not above zero. Ask the supplier for the price")
    if price > MAX_PRICE:
        raise ValueError(f"{shortened(cell)} is above {MAX_PRICE:,}, the most that can be read")
    return price


def _check_mark(mark: str, currency: str, cell: str) -> None:
    if mark in ("", currency):
        return
    allowed = _SIGNS.get(mark)
    if allowed is not None and currency in allowed:
        return
    if allowed is not None or (len(mark) == 3 and mark.isalpha()):
        raise ValueError(
            f"{shortened(cell)} is marked {mark} but the row is in {currency}. "
            "Give the currency in column currency"
        )
    raise _no_price(cell)


def _no_price(cell: str) -> ValueError:
    return ValueError(f"{shortened(cell)} is not a price. Write a number, such as 12.50")
