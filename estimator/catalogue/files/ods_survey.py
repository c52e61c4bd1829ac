"""First pass over the sheets of an ODS workbook (OpenDocument 1.3, part 3, 9.1)."""

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
)

_MOST_REPEATED = 20_000_000


def survey_ods(file: IO[bytes], most_cells: int, most_rows: int) -> dict[str, SheetSurvey]:
    """Size, merged cells and formulas without a value of each sheet, by name.

    Repeated cells and rows count as often as they stand for. Raises Unreadable: damaged, or
    more cells or rows with a value.
    """
    walk = _Walk(most_cells, most_rows)
    parse_xml(file, walk.start, walk.set_up)
    return walk.sheets


class _Walk:
    def __init__(self, most_cells: int, most_rows: int) -> None:
        self._most_cells = most_cells
        self._most_rows = most_rows
        self.sheets: dict[str, SheetSurvey] = {}
        self._sheet = SheetSurvey()
        self._row = 0
        self._rows = 1
        self._column = 0
        self._depth = 0

    def set_up(self, parser: Parser) -> None:
        parser.EndElementHandler = self._end

    def start(self, tag: str, attributes: Mapping[str, str]) -> None:
        name = local(tag)
        if name == "table":
            self._depth += 1
            if self._depth > 1:
                raise Unreadable("it has a table within a cell")
            named = {local(key): value for key, value in attributes.items()}
            self._sheet = self.sheets.setdefault(named.get("name", ""), SheetSurvey())
            self._row, self._rows = 0, 0
        elif name == "table-row":
            self._row += self._rows
            self._rows = _count(attributes, "number-rows-repeated")
            self._row += 1
            self._rows -= 1
            self._column = 0
        elif name in ("table-cell", "covered-table-cell") and self._depth:
            self._cell(attributes)

    def _end(self, tag: str) -> None:
        if local(tag) == "table":
            self._depth -= 1

    def _cell(self, attributes: Mapping[str, str]) -> None:
        named = {local(key): value for key, value in attributes.items()}
        columns = _count(attributes, "number-columns-repeated")
        first = self._column + 1
        self._column += columns
        valued = "value-type" in named
        formula = "formula" in named and not valued
        if not (valued or formula):
            return
        rows = self._rows + 1
        if self._row + rows > self._most_rows + 1000:
            raise Unreadable(f"it has more than {self._most_rows:,} rows; split the list")
        self._sheet.see_value(self._row + rows - 1, self._column)
        self._sheet.cells += columns * rows - 1
        if self._sheet.cells > self._most_cells:
            raise Unreadable("it has more cells than can be read; split the list")
        if formula and len(self._sheet.uncached) < MOST_UNCACHED:
            self._sheet.uncached.append((self._row, first - 1))
        down, across = (
            int(named.get(f"number-{what}-spanned", "1") or 1) for what in ("rows", "columns")
        )
        if (down > 1 or across > 1) and len(self._sheet.merged) < MOST_MERGED:
            self._sheet.merged.append((self._row, first, self._row + down - 1, first + across - 1))


def _count(attributes: Mapping[str, str], name: str) -> int:
    for key, value in attributes.items():
        if local(key) == name:
            if not value.isascii() or not value.isdigit() or not 0 < int(value) < _MOST_REPEATED:
                raise Unreadable(f"{value[:20]!r} is not a number of repeats")
            return int(value)
    return 1
