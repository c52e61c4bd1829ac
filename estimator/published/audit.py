"""Every published table and rule file as rows with their sources, for somebody who checks them.

Files are read as they stand, without the record types of their rooms, so that a file that no
code reads is shown too. In a rule file (TOML) each table of plain fields is one row; it has
the source that stands in it, or in the nearest table around it.
"""

import csv
import io
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from importlib import resources
from importlib.resources.abc import Traversable
from typing import get_args

from estimator.published.sources import Source, Status

_BEST_FIRST: tuple[Status, ...] = get_args(Status)
_FOLDER_LEFT_OUT = "tables"
_SOURCE_FIELDS = ("source", "sources")
# The list of sources: each of its entries is its own source.
_SOURCE_LIST = "published.sources"


class UnknownTable(LookupError):
    """No table has this name; the message says which have."""


@dataclass(frozen=True, slots=True)
class AuditRow:
    """One row: its cells in the order of the table's columns, and the keys of its sources."""

    cells: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AuditTable:
    """One file of the package.

    name: room and file, such as "sizing.ampacity". file: path inside the package. columns:
    without those that name the source.
    """

    name: str
    file: str
    columns: tuple[str, ...]
    rows: tuple[AuditRow, ...]

    def count(self, status: Status, sources: Mapping[str, Source]) -> int:
        """How many rows have a status."""
        return sum(row_status(row, sources) == status for row in self.rows)


def row_status(row: AuditRow, sources: Mapping[str, Source]) -> Status:
    """How a row was checked: the best that stands behind it; without a source, not at all."""
    known = [sources[key].status for key in row.sources if key in sources]
    return min(known, key=_BEST_FIRST.index, default="memory")


def read_audit(package: str, fallbacks: Mapping[str, str]) -> tuple[AuditTable, ...]:
    """All tables and rule files of a package and of the packages in it, by name.

    package: dotted name. fallbacks: source keys by table name for files, such as vocabularies,
    whose rows name no source of their own; such rows of other files stay without one.
    """
    tables = []
    for file, path in _files(resources.files(package), ()):
        name = _name(path)
        text = file.read_text("utf-8")
        own = fallbacks.get(name, "")
        if file.name.endswith(".csv"):
            columns, rows = _csv_rows(text, own)
        else:
            columns, rows = _toml_rows(text, own)
            if name == _SOURCE_LIST:
                rows = tuple(AuditRow(row.cells, row.cells[:1]) for row in rows)
        tables.append(AuditTable(name, "/".join(path), columns, rows))
    return tuple(sorted(tables, key=lambda table: table.name))


def find_table(tables: Sequence[AuditTable], name: str) -> AuditTable:
    """The table of a name, or of its last word where only one has it.

    Raises UnknownTable.
    """
    found = [table for table in tables if table.name == name]
    found = found or [table for table in tables if table.name.rpartition(".")[2] == name]
    if len(found) == 1:
        return found[0]
    if found:
        several = " and ".join(table.name for table in found)
        raise UnknownTable(f"{name!r} may be {several}; give the whole name.")
    near = [table.name for table in tables if name and name.lower() in table.name]
    raise UnknownTable(
        f"There is no table {name!r}."
        + (f" Near it are {', '.join(near)}." if near else " List the tables to see their names.")
    )


def _files(
    folder: Traversable, path: tuple[str, ...]
) -> Iterator[tuple[Traversable, tuple[str, ...]]]:
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        inside = (*path, entry.name)
        if entry.is_dir():
            yield from _files(entry, inside)
        elif entry.name.endswith((".csv", ".toml")):
            yield entry, inside


def _name(path: Sequence[str]) -> str:
    *folders, file = path
    kept = [folder for folder in folders if folder != _FOLDER_LEFT_OUT]
    return ".".join((*kept, file.rpartition(".")[0]))


def _csv_rows(text: str, own: str) -> tuple[tuple[str, ...], tuple[AuditRow, ...]]:
    reader = csv.DictReader(io.StringIO(text, newline=""))
    columns = tuple(name for name in reader.fieldnames or () if name != "source")
    return columns, tuple(
        AuditRow(
            tuple(row[column] or "" for column in columns),
            tuple(key for key in (row.get("source") or own,) if key),
        )
        for row in reader
    )


def _toml_rows(text: str, own: str) -> tuple[tuple[str, ...], tuple[AuditRow, ...]]:
    found = list(_toml_tables(tomllib.loads(text), "", (own,) if own else ()))
    columns = ("entry", *dict.fromkeys(name for _, cells, _ in found for name in cells))
    return columns, tuple(
        AuditRow((place, *(cells.get(column, "") for column in columns[1:])), sources)
        for place, cells, sources in found
    )


def _toml_tables(
    table: Mapping[str, object], place: str, inherited: tuple[str, ...]
) -> Iterator[tuple[str, dict[str, str], tuple[str, ...]]]:
    sources = _toml_sources(table) or inherited
    cells = {
        name: _cell(value)
        for name, value in table.items()
        if name not in _SOURCE_FIELDS and not _tables_in(value)
    }
    if cells:
        yield place or "(whole file)", cells, sources
    for name, value in table.items():
        inside = _tables_in(value)
        for number, entry in enumerate(inside, start=1):
            own = f"{place}.{name}" if place else name
            several = f" {number}" if isinstance(value, list) else ""
            yield from _toml_tables(entry, own + several, sources)


def _tables_in(value: object) -> list[Mapping[str, object]]:
    if isinstance(value, dict):
        return [value]
    if isinstance(value, list) and value and all(isinstance(entry, dict) for entry in value):
        return value
    return []


def _toml_sources(table: Mapping[str, object]) -> tuple[str, ...]:
    keys: list[str] = []
    for field in _SOURCE_FIELDS:
        value = table.get(field)
        if isinstance(value, str):
            keys.append(value)
        elif isinstance(value, list):
            keys += [key for key in value if isinstance(key, str)]
    return tuple(keys)


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return ", ".join(_cell(entry) for entry in value)
    if isinstance(value, date):
        return value.isoformat()
    return str(value)
