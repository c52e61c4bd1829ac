"""What a sheet of a workbook holds, told by a first pass over its XML that keeps nothing of it."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import IO
from xml.parsers import expat

from estimator.catalogue.files.table import Merged

MOST_MERGED = 20_000
MOST_UNCACHED = 20_000
_CHUNK = 1 << 18
_REFERENCE = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]{1,7})")


class Unreadable(Exception):
    """A workbook whose XML is not what it should be; the message says what is wrong."""


@dataclass(slots=True)
class SheetSurvey:
    """One sheet. rows, columns: place of the last cells with a value. cells: with a value.

    merged: ranges of merged cells. uncached: places (row from 1, position from 0) of formulas
    whose value is not in the file.
    """

    rows: int = 0
    columns: int = 0
    cells: int = 0
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    uncached: list[tuple[int, int]] = field(default_factory=list)

    def see_value(self, row: int, column: int) -> None:
        """Take a cell with a value into account; row and column from 1."""
        self.cells += 1
        if row > self.rows:
            self.rows = row
        if column > self.columns:
            self.columns = column

    @property
    def ranges(self) -> Merged:
        """The merged ranges."""
        return tuple(self.merged)


Start = Callable[[str, Mapping[str, str]], None]
Parser = expat.XMLParserType


def parse_xml(file: IO[bytes], start: Start, set_up: Callable[[Parser], None]) -> None:
    """Walk an XML part. Raises Unreadable for XML that is damaged or declares entities.

    The encoding is left to the parser, so that nothing can be hidden from it in another one
    than the later reader sees: those that it does not know are damage.
    """
    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parser.StartDoctypeDeclHandler = _refuse_doctype
    set_up(parser)
    try:
        while chunk := file.read(_CHUNK):
            parser.Parse(chunk, False)
        parser.Parse(b"", True)
    except (expat.ExpatError, ValueError, LookupError, OverflowError) as error:
        raise Unreadable(f"its XML is damaged ({error})") from None


def _refuse_doctype(*_: object) -> None:
    raise Unreadable("its XML declares a document type, which no workbook needs")


def local(tag: str) -> str:
    """A name without its prefix."""
    return tag.rpartition(":")[2]


def place_of(reference: str) -> tuple[int, int]:
    """Row and column, from 1, of a reference such as B12. Raises Unreadable."""
    found = _REFERENCE.fullmatch(reference)
    if found is None:
        raise Unreadable(f"{reference[:20]!r} is not the place of a cell")
    column = 0
    for letter in found[1].upper():
        column = column * 26 + ord(letter) - 64
    return int(found[2]), column


def range_of(reference: str) -> tuple[int, int, int, int]:
    """First row, first column, last row, last column of a reference such as A1:C2."""
    first, _, last = reference.partition(":")
    return (*place_of(first), *place_of(last or first))
