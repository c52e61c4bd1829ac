"""What price lists call their columns."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import cast, get_args

from estimator.catalogue.header import Column
from estimator.published.sources import load_sources
from estimator.published.tables import TableError, package_text, read_table

_NAME = "lexicon/header_words.csv"
_LONGEST = 40
_NUMBERS = range(1, 6)
_NUMBER = "{n}"
_SIGNS = str.maketrans(dict.fromkeys("_-./#:()*\n\r\t", " "))


@dataclass(frozen=True, slots=True)
class HeaderWordRow:
    """A spelling of a head. "{n}" in both stands for the numbers 1 to 5."""

    written: str
    column: str
    source: str


@cache
def load_header_words() -> Mapping[str, Column]:
    """Columns by the spelling of their head, read once in a process."""
    rows = read_table(
        package_text("estimator.catalogue", _NAME),
        HeaderWordRow,
        name=_NAME,
        key=("written",),
        sources=load_sources(),
    )
    found: dict[str, Column] = {}
    for row in rows:
        for number in map(str, _NUMBERS) if _NUMBER in row.written else ("",):
            column = row.column.replace(_NUMBER, number)
            if column not in get_args(Column):
                raise TableError(f"{_NAME}: {column!r} is not a column")
            found[row.written.replace(_NUMBER, number)] = cast(Column, column)
    return found


def normal_head(text: str) -> str:
    """A head as the table spells it: small letters, single blanks, no signs."""
    if len(text) > 2 * _LONGEST:
        return text
    return " ".join(text.translate(_SIGNS).casefold().split())


def column_of_head(text: str) -> Column | None:
    """The column that a head names, None for any other text."""
    if len(text) > _LONGEST:
        return None
    return load_header_words().get(normal_head(text))
