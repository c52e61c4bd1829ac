"""First pass over a sheet of an XLSX workbook (ECMA-376, part 1, 18.3.1)."""

from collections.abc import Mapping
from typing import IO

from estimator.catalogue.files.survey import (
    MOST_MERGED,
    MOST_UNCACHED,
    Parser,
    SheetSurvey,
    Unreadable,
    local,
    parse_xml,
    place_of,
    range_of,
)


def survey_xlsx(file: IO[bytes], most_cells: int) -> SheetSurvey:
    """Size, merged cells and formulas without a value.

    Raises Unreadable: damaged, rows or cells out of order, or more cells (blank ones and such as
    carry no place counted) than most_cells.
    """
    walk = _Walk(most_cells)
    parse_xml(file, walk.start, walk.set_up)
    walk.close_cell()
    return walk.found


def count_texts(file: IO[bytes], most: int) -> None:
    """Look at the shared texts of a workbook. Raises Unreadable where they are damaged or more."""
    count = 0

    def start(tag: str, _: Mapping[str, str]) -> None:
        nonlocal count
        if tag == "si" or local(tag) == "si":
            count += 1
            if count > most:
                raise Unreadable(f"it has more than {most:,} texts, the most that can be read")

    parse_xml(file, start, lambda _: None)


class _Walk:
    def __init__(self, most_cells: int) -> None:
        self._left = most_cells
        self.found = SheetSurvey()
        self._names: dict[str, str] = {}
        self._row = 0
        self._column = 0
        self._kind = ""
        self._formula = False
        self._value = False
        self._text = False

    def set_up(self, parser: Parser) -> None:
        self._parser = parser

    def start(self, tag: str, attributes: Mapping[str, str]) -> None:
        name = self._names.get(tag)
        if name is None:
            name = self._names[tag] = local(tag)
        if name == "c":
            self._open_cell(attributes)
        elif name in ("v", "is"):
            self._value = True
        elif name == "f":
            self._formula = True
            self._text = False
            # Whether the value of a formula is blank shows only in its text.
            self._parser.CharacterDataHandler = self._characters
        elif name == "row":
            self._open_row(attributes)
        elif name == "mergeCell":
            if len(self.found.merged) >= MOST_MERGED:
                raise Unreadable(f"it has more than {MOST_MERGED:,} merged ranges")
            self.found.merged.append(range_of(attributes.get("ref", "")))

    def _characters(self, text: str) -> None:
        if self._value and text.strip():
            self._text = True

    def _open_row(self, attributes: Mapping[str, str]) -> None:
        self.close_cell()
        told = attributes.get("r")
        row = self._row + 1
        if told is not None:
            if not told.isascii() or not told.isdigit() or len(told) > 7:
                raise Unreadable(f"{told[:20]!r} is not the number of a row")
            row = int(told)
        if row <= self._row:
            raise Unreadable(f"row {row} stands after row {self._row}")
        self._row, self._column = row, 0

    def _open_cell(self, attributes: Mapping[str, str]) -> None:
        self.close_cell()
        self._left -= 1
        if self._left < 0:
            raise Unreadable("it has more cells than can be read")
        self._kind = attributes.get("t", "n")
        reference = attributes.get("r")
        if reference is None:
            self._column += 1
            return
        row, self._column = place_of(reference)
        if row != self._row:
            raise Unreadable(f"the cell {reference} stands in row {self._row}")

    def close_cell(self) -> None:
        """Take the cell into account that ended."""
        if self._formula:
            self._parser.CharacterDataHandler = None
            if not self._text and not (self._value and self._kind == "str"):
                if len(self.found.uncached) >= MOST_UNCACHED:
                    raise Unreadable(f"more than {MOST_UNCACHED:,} formulas have no value in it")
                self.found.uncached.append((self._row, self._column - 1))
            self._value = True
        if self._value:
            self.found.see_value(self._row, self._column)
        self._formula = self._value = False
