"""What the cells of a column look like, whatever its head says."""

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from estimator.catalogue.gtin import is_gtin
from estimator.catalogue.header import Column
from estimator.catalogue.units_of_measure import known_unit

MOST_SAMPLED = 400
_EXAMPLES = 3
_MONEY = re.compile(
    r"(?:USD?|CAD|EUR|[$€£])?\s?-?(?:[0-9]{1,3}(?:[,. '][0-9]{3})+|[0-9]+)?[.,][0-9]{2,4}"
    r"\s?(?:USD|CAD|EUR|[$€£])?(?:\s?/\s?[A-Za-z]{1,3})?|[$€£]\s?[0-9]+"
)
_CURRENCIES = frozenset({"USD", "CAD", "EUR", "GBP", "AUD", "NZD", "MXN"})
_ATTRIBUTES = re.compile(r"\s*[\w ]+=[^;=]+(?:;\s*[\w ]+=[^;=]+)*;?\s*")
_LEAST_WORDS = 2
_DESCRIPTION_CHARS = 8
_NUMBER = re.compile(r"(?=.*[0-9])[A-Za-z0-9][A-Za-z0-9./#-]{1,24}")
# Below this share of its cells a column is not taken for what some of them look like.
SURE = 0.9


class Shares:
    """The shares of a column's cells that can be this or that, each judged when it is asked."""

    def __init__(self, counts: Mapping[str, int], kinds: frozenset[str]) -> None:
        self._counts = counts
        self._kinds = kinds
        self._known: dict[Column, float] = {}

    def of(self, column: Column) -> float:
        """The share of cells that can be what a column holds, of those that are judged."""
        if column not in self._known:
            test = _TESTS.get(column) or partial(_is_kind, self._kinds)
            fit = sum(count for cell, count in self._counts.items() if test(cell))
            self._known[column] = fit / (sum(self._counts.values()) or 1)
        return self._known[column]


@dataclass(frozen=True, slots=True)
class Look:
    """What a column looks like. shares: of its cells, by what they can be. filled: share of the
    rows looked at that have a cell there. different: share of its cells that stand once.
    """

    shares: "Shares"
    filled: float
    different: float
    length: float
    examples: tuple[str, ...]

    def share(self, column: Column) -> float:
        """The share of cells that can be what the column holds; 1 for what is not judged."""
        if not self.examples:
            return 0.0
        return self.shares.of(column) if column in _JUDGED else 1.0


def _is_gtin(cell: str) -> bool:
    digits = cell.replace(" ", "").replace("-", "")
    return (
        digits.isascii() and digits.isdigit() and len(digits) in (8, 12, 13, 14) and is_gtin(digits)
    )


def _is_money(cell: str) -> bool:
    return _MONEY.fullmatch(cell) is not None


def _is_unit(cell: str) -> bool:
    return len(cell) <= 14 and not cell.isdigit() and known_unit(cell) is not None


def _is_description(cell: str) -> bool:
    words = [word for word in cell.split() if any(sign.isalpha() for sign in word)]
    return len(words) >= _LEAST_WORDS and len(cell) >= _DESCRIPTION_CHARS and "=" not in cell


def _is_kind(kinds: frozenset[str], cell: str) -> bool:
    return cell.casefold().replace(" ", "_") in kinds


def _is_number(cell: str) -> bool:
    return _NUMBER.fullmatch(cell) is not None and not _is_money(cell)


_TESTS: Mapping[Column, Callable[[str], bool]] = {
    "gtin": _is_gtin,
    "price": _is_money,
    "per": _is_unit,
    "description": _is_description,
    "attributes": lambda cell: _ATTRIBUTES.fullmatch(cell) is not None,
    "currency": lambda cell: cell in _CURRENCIES,
    "item number": _is_number,
}
_JUDGED = frozenset(_TESTS) | {"kind"}


def looks_of(rows: Sequence[Sequence[str]], width: int, kinds: frozenset[str]) -> list[Look]:
    """What each of ``width`` columns looks like in the first MOST_SAMPLED rows."""
    sample = rows[:MOST_SAMPLED]
    return [
        _look([row[at].strip() for row in sample if at < len(row)], len(sample), kinds)
        for at in range(width)
    ]


def _look(cells: list[str], rows: int, kinds: frozenset[str]) -> Look:
    counts = Counter(filter(None, cells))
    filled = counts.total()
    if not filled:
        return Look(Shares({}, kinds), 0.0, 0.0, 0.0, ())
    return Look(
        Shares(counts, kinds),
        filled / rows,
        sum(count == 1 for count in counts.values()) / filled,
        sum(map(len, cells)) / filled,
        tuple(cell[:40] for cell in list(counts)[:_EXAMPLES]),
    )
