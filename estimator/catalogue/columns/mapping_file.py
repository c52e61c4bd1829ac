"""A mapping as a person writes or corrects it: CSV or JSON, as it is shown so it is given back.

Fields: sheet (blank: every sheet), letter, head, column (blank: passed over), value. A line names
a column of the file by its head, or by its letter where it has none. A line with a value and
neither letter nor head tells what holds for all rows: the unit ("per"), the multiplier, the
currency, the supplier ..., or how the list is written (see SETTINGS), or its "head row" (0: none),
or that the sheet is to be left out ("leave out", yes).
"""

import csv
import io
import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from typing import Any, cast, get_args

from estimator.catalogue.columns.mapping import ColumnMapping, MappedColumn, ToldColumn, ToldMapping
from estimator.catalogue.decode import decode
from estimator.catalogue.header import DELIMITERS, Column, rows_of
from estimator.catalogue.list_rules import NO_SETTINGS, ListSettings
from estimator.finding import Fault, InputRefused

FIELDS = ("sheet", "letter", "head", "column", "value")
_SHOWN = (*FIELDS, "proposed", "because", "examples")
_MOST_LINES = 2_000
_HEAD_ROW = "head row"
_LEAVE_OUT = "leave out"
_LETTER = re.compile(r"[A-Z]{1,3}")
_COLUMNS: tuple[Column, ...] = get_args(Column)


def _one_of(*values: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        if text.casefold() not in values:
            raise ValueError(f"write {' or '.join(values)}")
        return text.casefold()

    return read


def _price_class(text: str) -> int:
    if text not in "12345" or len(text) != 1:
        raise ValueError("write the number of the price column that is yours, from 1 to 5")
    return int(text)


def _multiplier(text: str) -> Decimal:
    try:
        found = Decimal(text)
    except InvalidOperation:
        found = Decimal(0)
    if not 0 < found <= 2:
        raise ValueError("write what list prices are multiplied by, such as 0.62")
    return found


# How a whole list is written, by the word in field "column".
SETTINGS: Mapping[str, Callable[[str], Any]] = {
    "letter m": _one_of("thousand", "metre"),
    "date order": _one_of("day first", "month first"),
    "price class": _price_class,
    "quantities count": _one_of("units", "packs"),
    "multiplier": _multiplier,
}


def read_mapping(data: bytes, name: str) -> ToldMapping:
    """What a person says of the columns of a list. Raises InputRefused with every fault."""
    text = decode(data, name).strip()
    lines = _from_json(text, name) if text[:1] in "[{" else _from_csv(text, name)
    if len(lines) > _MOST_LINES:
        raise InputRefused(name, (Fault("", f"more than {_MOST_LINES:,} lines"),))
    faults: list[Fault] = []
    columns: list[ToldColumn] = []
    head_rows: list[tuple[str, int]] = []
    settings: list[tuple[str, str]] = []
    left_out: list[str] = []
    for where, line in lines:
        try:
            if line["column"] == _HEAD_ROW:
                head_rows.append((line["sheet"], _row(line["value"])))
            elif line["column"] == _LEAVE_OUT:
                _one_of("yes")(line["value"])
                left_out.append(line["sheet"])
            elif _is_setting(line):
                SETTINGS[line["column"]](line["value"])
                settings.append((line["column"], line["value"]))
            elif line["letter"] or line["head"] or line["column"]:
                columns.append(_column(line))
        except ValueError as error:
            faults.append(
                Fault(f"{name}, {where}, column {line['column'] or 'column'}", str(error))
            )
    if faults:
        raise InputRefused("mapping", tuple(faults))
    return ToldMapping(tuple(columns), tuple(head_rows), tuple(settings), tuple(left_out))


def settings_of(told: ToldMapping, settings: ListSettings = NO_SETTINGS) -> ListSettings:
    """Settings of a list with those that a mapping tells."""
    for name, value in told.settings:
        read = SETTINGS[name](value)
        if name == "letter m":
            settings = replace(settings, bare_m=read)
        elif name == "date order":
            settings = replace(settings, day_first=read == "day first")
        elif name == "price class":
            settings = replace(settings, price_class=read)
        elif name == "quantities count":
            settings = replace(settings, breaks_count=read)
        else:
            settings = replace(settings, multiplier=read)
    return settings


def mapping_document(mappings: Iterable[ColumnMapping]) -> list[dict[str, str]]:
    """Mappings as lines of the fields above, each with why and a few of its cells."""
    lines: list[dict[str, str]] = []
    for mapping in mappings:
        lines.append(_line(mapping, column=_HEAD_ROW, value=str(mapping.head_row)))
        lines += [_column_line(mapping, each) for each in mapping.columns]
        lines += [_line(mapping, column=each, value=value) for each, value in mapping.always]
    return lines


def mapping_csv(mappings: Iterable[ColumnMapping]) -> str:
    """The same as CSV text. Texts of the list that a spreadsheet would take for a formula are
    kept from it by a leading apostrophe, which is dropped when the mapping is given back."""
    text = io.StringIO()
    writer = csv.DictWriter(text, _SHOWN, lineterminator="\n")
    writer.writeheader()
    for line in mapping_document(mappings):
        writer.writerow({name: _no_formula(cell) for name, cell in line.items()})
    return text.getvalue()


def _line(mapping: ColumnMapping, **cells: str) -> dict[str, str]:
    return {**dict.fromkeys(_SHOWN, ""), "sheet": mapping.sheet, **cells}


def _column_line(mapping: ColumnMapping, each: MappedColumn) -> dict[str, str]:
    return _line(
        mapping,
        letter=each.letter,
        head=" ".join(each.head.split()),
        column=each.column or "",
        proposed=each.proposed or "",
        because=each.because,
        examples=" | ".join(each.examples),
    )


def _no_formula(cell: str) -> str:
    return "'" + cell if cell[:1] in ("=", "+", "-", "@", "\t", "'") else cell


def _is_setting(line: Mapping[str, str]) -> bool:
    return line["column"] in SETTINGS and not line["letter"] and not line["head"]


def _row(value: str) -> int:
    if not value.isascii() or not value.isdigit() or len(value) > 4:
        raise ValueError(f"{value!r} is not the number of a row; write 0 where there is no head")
    return int(value)


def _column(line: Mapping[str, str]) -> ToldColumn:
    letter = line["letter"].upper()
    if letter and not _LETTER.fullmatch(letter):
        raise ValueError(f"{letter!r} is not the letter of a column")
    column = cast(Column, line["column"])
    if column and column not in _COLUMNS:
        raise ValueError(
            f"{column!r} is not a column; the columns are {', '.join(_COLUMNS)}, and "
            f"{_HEAD_ROW}, {', '.join(SETTINGS)} for the whole list"
        )
    if bool(line["value"]) == bool(letter or line["head"]):
        raise ValueError("give the letter or head of a column, or else a value for all rows")
    return ToldColumn(line["sheet"], letter, line["head"], column or None, line["value"])


Lines = Sequence[tuple[str, dict[str, str]]]


def _from_csv(text: str, name: str) -> Lines:
    for delimiter in DELIMITERS:
        rows = list(rows_of(text, delimiter))
        head = [cell.strip().casefold() for cell in rows[0]]
        if "column" in head and ("head" in head or "letter" in head):
            place = {field: head.index(field) for field in FIELDS if field in head}
            return [
                (f"row {number}", {field: _cell(cells, place.get(field)) for field in FIELDS})
                for number, cells in enumerate(rows[1:], start=2)
                if any(cells)
            ]
    message = f"the first row must name the fields {', '.join(FIELDS)}"
    raise InputRefused(name, (Fault("row 1", message),))


def _cell(cells: Sequence[str], at: int | None) -> str:
    return "" if at is None or at >= len(cells) else cells[at].strip().removeprefix("'")


def _from_json(text: str, name: str) -> Lines:
    try:
        document = json.loads(text)
    except (ValueError, RecursionError):
        raise InputRefused(name, (Fault("", "is not JSON"),)) from None
    if not isinstance(document, list) or not all(_is_line(each) for each in document):
        message = f"must be a list of objects with texts in the fields {', '.join(FIELDS)}"
        raise InputRefused(name, (Fault("", message),))
    return [
        (f"line {number}", {field: each.get(field, "").strip() for field in FIELDS})
        for number, each in enumerate(document, start=1)
    ]


def _is_line(each: object) -> bool:
    return isinstance(each, dict) and all(isinstance(cell, str) for cell in each.values())
