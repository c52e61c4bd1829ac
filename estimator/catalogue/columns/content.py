"""What the cells of a column look like, whatever its head says."""

import re
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


@dataclass(frozen=True, slots=True)
class Look:
    """What a column looks like. shares: of its cells, by what they can be. filled: share of the
    rows looked at that have a cell there. different: share of its cells that stand once.
    """

    shares: Mapping[Column, float]
    filled: float
    different: float
    length: float
    examples: tuple[str, ...]

    def share(self, column: Column) -> float:
        """The share of cells that can be what the column holds; 1 for what is not judged."""
        if not self.examples:
            return 0.0
        return self.shares.get(column, 1.0 if column not in _JUDGED else 0.0)


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
    tests: dict[Column, Callable[[str], bool]] = {**_TESTS, "kind": partial(_is_kind, kinds)}
    return [_look([row[at].strip() for row in sample if at < len(row)], len(sample), tests)
            for at in range(width)]  # fmt: skip


def _look(cells: list[str], rows: int, tests: Mapping[Column, Callable[[str], bool]]) -> Look:
    filled = [cell for cell in cells if cell]
    if not filled:
        return Look({}, 0.0, 0.0, 0.0, ())
    counts = {cell: filled.count(cell) for cell in dict.fromkeys(filled)}
    shares = {
        column: sum(count for cell, count in counts.items() if test(cell)) / len(filled)
        for column, test in tests.items()
    }
    return Look(
        shares,
        len(filled) / rows,
        sum(count == 1 for count in counts.values()) / len(filled),
        sum(map(len, filled)) / len(filled),
        tuple(cell[:40] for cell in list(counts)[:_EXAMPLES]),
    )
