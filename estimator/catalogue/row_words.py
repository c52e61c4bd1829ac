"""Words that mark a row of sums, which is no item."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table

Sum = Literal["total", "subtotal"]


@dataclass(frozen=True, slots=True)
class RowWord:
    """A spelling, in small letters without signs, and the kind of row that it begins."""

    written: str
    meaning: Sum
    source: str


@cache
def load_row_words() -> Mapping[str, Sum]:
    """What words say of the row that they begin, read once in a process."""
    name = "lexicon/row_words.csv"
    rows = read_table(
        package_text("estimator.catalogue", name),
        RowWord,
        name=name,
        key=("written",),
        sources=load_sources(),
    )
    return {row.written: row.meaning for row in rows}


def sum_of(text: str) -> Sum | None:
    """Whether a text is, or begins with, the words of a sum: "Subtotal:", "Total Fittings"."""
    words = text.replace("-", " ").replace(":", " ").casefold().split()[:3]
    known = load_row_words()
    for count in range(len(words), 0, -1):
        meaning = known.get(" ".join(words[:count]))
        if meaning is not None:
            return meaning
    return None
