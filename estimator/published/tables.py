"""Strict reader for tables of figures kept as CSV beside the code that uses them.

A table is described by a frozen dataclass: its field names are the columns, in order, its
field types say how a cell is read. Every row names its source in a last column ``source``.
"""

import csv
import dataclasses
import io
import types
import typing
from collections.abc import Callable, Collection, Sequence
from decimal import Decimal, InvalidOperation
from importlib import resources
from typing import Any, Literal, TypeVar, get_args, get_origin, get_type_hints

Reader = Callable[[str], object]
Row = TypeVar("Row")


class TableError(Exception):
    """A table cannot be trusted; the message lists every fault with file, row and column."""


def read_table(
    text: str,
    row_type: type[Row],
    *,
    name: str,
    key: Sequence[str],
    sources: Collection[str],
) -> tuple[Row, ...]:
    """Rows of a CSV table as frozen records, in file order.

    row_type: a dataclass whose fields are str, int, Decimal, bool, a Literal of text, or one
    of these "| None" (only then may the cell be blank). Its last field is ``source``.
    key: the columns that together may not repeat. sources: the known source keys.
    Raises TableError naming file, row and column of every fault: unknown, missing or
    misplaced column, blank cell, wrong type, duplicate key, unknown source.
    """
    readers = _readers(row_type)
    grid = csv.reader(io.StringIO(text, newline=""))
    header = next(grid, [])
    if header != list(readers):
        raise TableError(_header_fault(name, header, list(readers)))
    faults: list[str] = []
    rows: list[Row] = []
    seen: dict[tuple[str, ...], int] = {}
    for number, cells in enumerate(grid, start=2):
        if len(cells) != len(header):
            faults.append(f"{name}, row {number}: {len(cells)} cells, not {len(header)}")
            continue
        place = dict(zip(header, cells, strict=True))
        found: list[str] = []
        values = _read_cells(place, readers, found)
        if place["source"] and place["source"] not in sources:
            found.append(f"column source: {place['source']!r} is not a key of sources.toml")
        identity = tuple(place[column] for column in key)
        if identity in seen:
            found.append(
                f"column {'+'.join(key)}: {' '.join(identity)!r} stands in row {seen[identity]} "
                "already"
            )
        seen.setdefault(identity, number)
        if found:
            faults += [f"{name}, row {number}, {fault}" for fault in found]
        else:
            rows.append(row_type(**values))
    if not rows and not faults:
        faults.append(f"{name}: the table has no rows")
    if faults:
        raise TableError("\n".join(faults))
    return tuple(rows)


def _read_cells(
    place: dict[str, str], readers: dict[str, Reader], found: list[str]
) -> dict[str, object]:
    values: dict[str, object] = {}
    for column, cell in place.items():
        try:
            values[column] = readers[column](cell)
        except ValueError as error:
            found.append(f"column {column}: {error}")
    return values


def package_text(package: str, name: str) -> str:
    """Text of a data file inside the package, such as ("estimator.sizing", "tables/x.csv")."""
    return resources.files(package).joinpath(name).read_text("utf-8")


def _header_fault(name: str, header: list[str], wanted: list[str]) -> str:
    unknown = [column for column in header if column not in wanted]
    missing = [column for column in wanted if column not in header]
    doubled = sorted({column for column in header if header.count(column) > 1})
    faults = [f"{name}, row 1: unknown column {column!r}" for column in unknown]
    faults += [f"{name}, row 1: column {column!r} is missing" for column in missing]
    faults += [f"{name}, row 1: column {column!r} stands twice" for column in doubled]
    return "\n".join(faults) or f"{name}, row 1: columns must be in the order {', '.join(wanted)}"


def _readers(row_type: type[Any]) -> dict[str, Reader]:
    hints = get_type_hints(row_type)
    names = [field.name for field in dataclasses.fields(row_type)]
    if names[-1] != "source":
        raise TypeError(f"{row_type.__name__} must end with the field source")
    return {name: _reader(hints[name]) for name in names}


def _reader(hint: Any) -> Reader:
    arguments = get_args(hint)
    if get_origin(hint) in (types.UnionType, typing.Union):
        (inner,) = (argument for argument in arguments if argument is not type(None))
        read = _reader(inner)
        return lambda cell: None if cell == "" else read(cell)
    if get_origin(hint) is Literal:
        return lambda cell: _one_of(cell, arguments)
    if hint is Decimal:
        return _decimal
    if hint is int:
        return _whole
    if hint is bool:
        return lambda cell: _one_of(cell, ("true", "false")) == "true"
    if hint is str:
        return _text
    raise TypeError(f"a table cannot hold {hint!r}")


def _text(cell: str) -> str:
    if not cell:
        raise ValueError("is blank")
    if cell != cell.strip():
        raise ValueError(f"{cell!r} has blanks around it")
    return cell


def _decimal(cell: str) -> Decimal:
    try:
        value = Decimal(_text(cell))
    except InvalidOperation:
        raise ValueError(f"{cell!r} is not a number") from None
    if not value.is_finite():
        raise ValueError(f"{cell!r} is not a number")
    return value


def _whole(cell: str) -> int:
    try:
        return int(_text(cell))
    except ValueError:
        raise ValueError(f"{cell!r} is not a whole number" if cell else "is blank") from None


def _one_of(cell: str, allowed: Sequence[str]) -> str:
    if _text(cell) not in allowed:
        raise ValueError(f"{cell!r} is not one of {', '.join(allowed)}")
    return cell
