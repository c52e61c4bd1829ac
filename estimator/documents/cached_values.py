"""Gives every formula cell of a written workbook its value, and the file a fixed date.

The workbook library writes formulas without their results; a viewer that does not calculate
would show empty cells. It also stamps the hour of writing into the file, so that the same
estimate would never give the same bytes twice.
"""

import io
import zipfile
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from openpyxl.xml.functions import fromstring, tostring

from estimator.units import plain

CellValue = Decimal | int | str
CachedValues = Mapping[tuple[str, str], CellValue]

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_CORE = "docProps/core.xml"
_MODIFIED = "{http://purl.org/dc/terms/}modified"
_EARLIEST_YEAR = 1980


class CacheMismatch(Exception):
    """Formulas and registered values do not agree cell by cell: a fault of the program."""


def with_cached_values(
    written: bytes, sheet_titles: tuple[str, ...], values: CachedValues, computed_on: date
) -> bytes:
    """The workbook again, each formula with its value, its times those of ``computed_on``.

    sheet_titles: in workbook order, since sheets are stored by their number. values: by sheet
    title and cell name. Raises CacheMismatch when a formula has no value or a value no formula.
    """
    left = dict(values)
    with_values = {title for title, _ in values}
    parts = {f"xl/worksheets/sheet{n}.xml": title for n, title in enumerate(sheet_titles, start=1)}
    stamp = (max(computed_on.year, _EARLIEST_YEAR), computed_on.month, computed_on.day, 0, 0, 0)
    result = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(written)) as old,
        zipfile.ZipFile(result, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            content = old.read(name)
            if name in parts and (b"<f>" in content or parts[name] in with_values):
                content = _filled(content, parts[name], left)
            elif name == _CORE:
                content = _dated(content, computed_on)
            entry = zipfile.ZipInfo(name, stamp)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o600 << 16
            new.writestr(entry, content)
    if left:
        raise CacheMismatch(f"values without a formula: {sorted(left)}")
    return result.getvalue()


def _filled(content: bytes, title: str, left: dict[tuple[str, str], CellValue]) -> bytes:
    root = fromstring(content)
    for cell in root.iter(f"{_MAIN}c"):
        if cell.find(f"{_MAIN}f") is not None:
            key = (title, cell.get("r") or "")
            if key not in left:
                raise CacheMismatch(f"{title}!{key[1]}: the formula has no value")
            _set_value(cell, left.pop(key))
    return _bytes(root)


def _set_value(cell: Any, value: CellValue) -> None:
    holder = cell.find(f"{_MAIN}v")
    if holder is None:
        holder = cell.makeelement(f"{_MAIN}v", {})
        cell.append(holder)
    if isinstance(value, str):
        cell.set("t", "str")
        holder.text = value
    else:
        holder.text = plain(value) if isinstance(value, Decimal) else str(value)


def _dated(content: bytes, computed_on: date) -> bytes:
    root = fromstring(content)
    modified = root.find(_MODIFIED)
    if modified is not None:
        modified.text = f"{computed_on.isoformat()}T00:00:00Z"
    return _bytes(root)


def _bytes(root: Any) -> bytes:
    written = tostring(root)
    return written if isinstance(written, bytes) else written.encode("utf-8")
