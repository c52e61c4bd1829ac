"""Which column of each table holds what, as a value that is shown and can be given back."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from estimator.catalogue.columns.header_words import normal_head
from estimator.catalogue.header import Column

# Who or what says what a column holds. "told": a person; "none": nothing does.
Grounds = Literal["told", "head", "content", "none"]


@dataclass(frozen=True, slots=True)
class MappedColumn:
    """One column of a table.

    position: from 0. head: what the table calls it. column: what it is taken for, None where it
    is passed over. proposed: what its cells look like, where a person has to say so first.
    share: of the cells looked at, from 0 to 1, those that can be what it is taken for or proposed
    as. because: why, as a sentence. examples: a few of its cells.
    """

    position: int
    head: str
    column: Column | None
    grounds: Grounds
    because: str
    share: float
    proposed: Column | None = None
    examples: tuple[str, ...] = ()

    @property
    def letter(self) -> str:
        """The column as spreadsheets call it: A, B, ... AA."""
        return letter_of(self.position)


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """The columns of one table.

    sheet: blank for a text. head_row: number of the last row of the head, 0 where there is none.
    always: what holds for every row without standing in a column, such as the unit.
    """

    sheet: str
    head_row: int
    columns: tuple[MappedColumn, ...]
    always: tuple[tuple[Column, str], ...] = ()

    @property
    def place(self) -> dict[Column, int]:
        """The position of each column that is used."""
        return {each.column: each.position for each in self.columns if each.column is not None}

    @property
    def key(self) -> str:
        """What another list with the same head has in common with this one."""
        return head_key(tuple(each.head for each in self.columns))


def head_key(heads: tuple[str, ...]) -> str:
    """The heads of a table as the key under which its mapping is remembered."""
    return "|".join(map(normal_head, heads)).rstrip("|")


def letter_of(position: int) -> str:
    """A position, from 0, as spreadsheets call it."""
    letters, number = "", position + 1
    while number:
        number, digit = divmod(number - 1, 26)
        letters = chr(65 + digit) + letters
    return letters


@dataclass(frozen=True, slots=True)
class ToldColumn:
    """What a person says of a column: that with this head, or where it has none, this letter.

    sheet: blank for every sheet. column: None for one that is to be passed over. value: what
    holds for every row, where there is no such column in the file.
    """

    sheet: str
    letter: str
    head: str
    column: Column | None
    value: str = ""


@dataclass(frozen=True, slots=True)
class ToldMapping:
    """What a person says of a list.

    head_rows: number of the head row by sheet ("" for all). settings: how it is written, by name
    (see mapping_file.SETTINGS). left_out: names of sheets that are not to be read.
    """

    columns: tuple[ToldColumn, ...] = ()
    head_rows: tuple[tuple[str, int], ...] = ()
    settings: tuple[tuple[str, str], ...] = ()
    left_out: tuple[str, ...] = ()

    def head_row(self, sheet: str) -> int | None:
        """The number of the head row of a sheet, 0 for none; None where it was not told."""
        rows = dict(self.head_rows)
        return rows.get(sheet, rows.get(""))


NOTHING_TOLD = ToldMapping()
Remembered = Mapping[tuple[str, str], ToldMapping]
