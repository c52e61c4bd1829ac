"""The tables of the comparison, read once in a process."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Literal, TypeVar

from estimator.compare.records import WayName
from estimator.compare.three_point import ThreePoint
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table

Row = TypeVar("Row")
_WORD = re.compile("[a-z]+")


@dataclass(frozen=True, slots=True)
class ThreePointRow:
    """A figure by its low, likely and high value; unit says what it is in."""

    name: str
    low: Decimal
    likely: Decimal
    high: Decimal
    unit: str
    source: str

    @property
    def points(self) -> ThreePoint:
        """The three points."""
        return ThreePoint(self.low, self.likely, self.high)


@dataclass(frozen=True, slots=True)
class CordRow:
    """An extension cord by the load that it carries, and its price [US dollars]."""

    cord: str
    up_to_a: Decimal
    low: Decimal
    likely: Decimal
    high: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class WiredInRow:
    """Words in the name of a circuit whose load is usually wired in, without a plug."""

    words: str
    unless: str | None
    source: str


@dataclass(frozen=True, slots=True)
class WayNoteRow:
    """A note on a way. applies: the circumstance in which it holds."""

    way: WayName
    kind: Literal["left_out", "forbidden"]
    applies: Literal["always", "not_the_owner", "second_home", "generator", "fixed_supply"]
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class CompareTables:
    """Every figure and note of the comparison.

    cords: the smallest first. wired_in: each row with its words as words_of gives them.
    """

    three_points: Mapping[str, ThreePointRow]
    cords: tuple[CordRow, ...]
    wired_in: tuple[tuple[frozenset[str], WiredInRow], ...]
    notes: tuple[WayNoteRow, ...]

    def wired(self, circuit: str) -> WiredInRow | None:
        """The row whose words are all in the name of a circuit, and not its exception."""
        found = words_of(circuit)
        for wanted, row in self.wired_in:
            if wanted <= found and row.unless not in found:
                return row
        return None


def words_of(name: str) -> frozenset[str]:
    """The words of a name, in lower case and without a plural s."""
    return frozenset([word.removesuffix("s") for word in _WORD.findall(name.lower())])


@cache
def load_compare_tables() -> CompareTables:
    """The package's own tables, read once in a process. Raises TableError for a broken one."""
    return CompareTables(
        three_points={row.name: row for row in _rows("three_points", ThreePointRow, "name")},
        cords=tuple(
            sorted(_rows("cords", CordRow, "up_to_a"), key=lambda row: (row.up_to_a, row.cord))
        ),
        wired_in=tuple(
            (words_of(row.words), row) for row in _rows("wired_in", WiredInRow, "words")
        ),
        notes=_rows("way_notes", WayNoteRow, "way", "kind", "text"),
    )


def _rows(table: str, row_type: type[Row], *key: str) -> tuple[Row, ...]:
    name = f"{table}.csv"
    text = package_text("estimator.compare", f"tables/{name}")
    return read_table(text, row_type, name=name, key=key, sources=load_sources())
