"""A price list from its bytes to its tables: the front door of this folder."""

import io
from dataclasses import dataclass
from gzip import GzipFile
from hashlib import sha256
from typing import BinaryIO, cast

from estimator.catalogue.files.calamine_process import read_ods, read_xls
from estimator.catalogue.files.delimited import DELIMITERS, text_table
from estimator.catalogue.files.encoding import find_encoding
from estimator.catalogue.files.gunzip import gunzip, refusing_damage, unpacked_limits
from estimator.catalogue.files.kind_of_file import FileKind, kind_of_file
from estimator.catalogue.files.limits import ListLimits
from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.files.table import SheetLeftOut, Table
from estimator.catalogue.files.xlsx import read_xlsx

_CHUNK = 1 << 20


@dataclass(frozen=True, slots=True)
class OpenedList:
    """A file that was opened.

    digest: SHA-256 of its bytes. kind: of what is in it. ways: tables, in each way that they can
    be told: a text once by each delimiter, a workbook once. left_out: sheets that are not read.
    encoding: of a text; blank for a workbook.
    """

    digest: str
    kind: FileKind
    ways: tuple[tuple[Table, ...], ...]
    left_out: tuple[SheetLeftOut, ...] = ()
    encoding: str = ""


def open_list(source: bytes | BinaryIO, name: str, limits: ListLimits) -> OpenedList:
    """The tables of a price list.

    source: its bytes, or a file that can be sought, which has to stay open while rows are read.
    Text is read from it anew for each pass; workbooks are held in memory. Raises InputRefused
    when nothing of it can be used.
    """
    file = cast(BinaryIO, io.BytesIO(source)) if isinstance(source, bytes) else source
    digest, size = _digest(file, name, limits)
    kind = kind_of_file(file, name)
    if kind == "gzip":
        with refusing_damage(name):
            return _open_packed(file, size, name, limits, digest)
    return _open(file, kind, name, limits, digest, size)


def _open_packed(
    file: BinaryIO, size: int, name: str, limits: ListLimits, digest: str
) -> OpenedList:
    within = unpacked_limits(size, limits)
    inner = cast(BinaryIO, GzipFile(fileobj=file))
    kind = kind_of_file(inner, name)
    if kind == "gzip":
        raise refuse(name, "the file is compressed twice. Unpack it first")
    if kind != "text":
        inner = gunzip(file, size, name, within)
    return _open(inner, kind, name, within, digest, size)


def _open(
    file: BinaryIO, kind: FileKind, name: str, limits: ListLimits, digest: str, size: int
) -> OpenedList:
    if kind == "text":
        encoding = find_encoding(file, name, limits)
        ways = tuple([(text_table(file, encoding, sign, name),) for sign in DELIMITERS])
        return OpenedList(digest, kind, ways, (), encoding)
    if kind == "xlsx":
        tables, left_out = read_xlsx(file, size, name, limits)
    elif kind == "ods":
        tables, left_out = read_ods(file, size, name, limits)
    else:
        tables, left_out = read_xls(file, name, limits)
    return OpenedList(digest, kind, (tuple(tables),), tuple(left_out))


def _digest(file: BinaryIO, name: str, limits: ListLimits) -> tuple[str, int]:
    file.seek(0)
    digest, size = sha256(), 0
    while chunk := file.read(_CHUNK):
        digest.update(chunk)
        size += len(chunk)
        if size > limits.file_bytes:
            raise refuse(
                name,
                f"the file has more than {limits.file_bytes:,} bytes, the most that can be read. "
                "Split it",
            )
    return digest.hexdigest(), size
