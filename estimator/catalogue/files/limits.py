"""How much of a file is read at most; beyond it the file is refused before memory is spent."""

from dataclasses import dataclass

MIB = 1024 * 1024


@dataclass(frozen=True, slots=True)
class ListLimits:
    """Limits of one file.

    file_bytes: as it came. unzipped_bytes: all that it unpacks to. expansion: the same over the
    bytes packed, held against files that unpack to more than 1 MiB. part_bytes: of a part of a
    workbook other than its cells, such as its styles. rows: below the head row, of all sheets
    together. columns: of a head row, and to the right of it. cells: of a workbook, blank ones not
    counted. sheets: of a workbook. memory_bytes: of the process that reads old workbooks.
    seconds: that this process may take.
    """

    file_bytes: int = 20 * MIB
    unzipped_bytes: int = 300 * MIB
    expansion: int = 200
    part_bytes: int = 16 * MIB
    rows: int = 200_000
    columns: int = 60
    cells: int = 4_000_000
    sheets: int = 100
    memory_bytes: int = 1024 * MIB
    seconds: int = 120


DEFAULT_LIMITS = ListLimits()
# For lists that are read into storage row by row.
IMPORT_LIMITS = ListLimits(file_bytes=400 * MIB, unzipped_bytes=1024 * MIB, rows=2_000_000)
