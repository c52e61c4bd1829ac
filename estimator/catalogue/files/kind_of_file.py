"""What kind of file some bytes are, by their content; names are not trusted."""

import zipfile
from collections.abc import Sequence
from typing import BinaryIO, Literal

from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.files.zip_guard import ZIP_DAMAGE

FileKind = Literal["text", "gzip", "xlsx", "xls", "ods"]

HEAD_BYTES = 4096
_AS_CSV = "Save the price list as CSV or as an XLSX workbook"
_OTHERS: Sequence[tuple[bytes, str]] = (
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture (PNG)"),
    (b"\xff\xd8\xff", "a picture (JPEG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"II*\x00", "a picture (TIFF)"),
    (b"MM\x00*", "a picture (TIFF)"),
    (b"BM", "a picture (BMP)"),
    (b"RIFF", "a picture or recording"),
    (b"{\\rtf", "a text document (RTF)"),
    (b"7z\xbc\xaf\x27\x1c", "a 7z archive"),
    (b"Rar!", "a RAR archive"),
    (b"BZh", "a file compressed with bzip2"),
    (b"\xfd7zXZ", "a file compressed with xz"),
    (b"\x28\xb5\x2f\xfd", "a file compressed with zstd"),
    (b"\x7fELF", "a program"),
    (b"MZ\x90", "a program"),
    (b"SQLite format 3", "a database"),
)
_MARKUP: Sequence[tuple[bytes, str]] = (
    (b"<!doctype html", "a web page"),
    (b"<html", "a web page"),
    (b"<table", "a web page"),
    (b"urn:schemas-microsoft-com:office:spreadsheet", "a workbook saved as XML"),
    (b"<?xml", "an XML file"),
    (b"<svg", "a picture (SVG)"),
)
_OLD_OFFICE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_GZIP = b"\x1f\x8b"
_ZIP = (b"PK\x03\x04", b"PK\x05\x06", b"PK\x07\x08")
# The others are never used in workbooks; their libraries raise errors of their own.
_METHODS = frozenset({zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED})
_ODS_TYPE = b"application/vnd.oasis.opendocument.spreadsheet"
_PRINTABLE_BM = frozenset(range(32, 127)) | {9, 10, 13}


def kind_of_file(file: BinaryIO, name: str) -> FileKind:
    """Text, gzip or a kind of workbook. Raises InputRefused saying what the file is instead.

    The file is left at its start. Text is only presumed: its bytes are looked at when read.
    """
    file.seek(0)
    head = file.read(HEAD_BYTES)
    file.seek(0)
    if head.startswith(_GZIP):
        return "gzip"
    if head.startswith(_ZIP):
        return _kind_of_zip(file, name)
    if head.startswith(_OLD_OFFICE[:4]):
        return "xls"
    what = _other(head)
    if what:
        raise refuse(name, f"the file is {what}. {_AS_CSV}")
    return "text"


def _other(head: bytes) -> str:
    for start, what in _OTHERS:
        if head.startswith(start) and not (start == b"BM" and _PRINTABLE_BM.issuperset(head)):
            return what
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip().lower()
    if not text.startswith(b"<"):
        return ""
    return next((what for mark, what in _MARKUP if mark in text), "")


def _kind_of_zip(file: BinaryIO, name: str) -> FileKind:
    try:
        with zipfile.ZipFile(file) as archive:
            names = archive.namelist()
            _refuse_odd_methods(archive, name)
            mime = archive.open("mimetype").read(100) if "mimetype" in names else b""
    except (ValueError, *ZIP_DAMAGE):
        raise refuse(
            name, f"the file is a zip archive or workbook that is damaged. {_AS_CSV} again"
        ) from None
    if "xl/vbaProject.bin" in names:
        raise refuse(name, "the workbook holds macros. Save it as XLSX without them")
    if "xl/workbook.bin" in names:
        raise refuse(name, "the file is a binary workbook (XLSB). Save it as XLSX")
    if "xl/workbook.xml" in names:
        return "xlsx"
    if mime.startswith(_ODS_TYPE) and "content.xml" in names:
        return "ods"
    raise refuse(name, _no_workbook(names))


def _refuse_odd_methods(archive: zipfile.ZipFile, name: str) -> None:
    for part in archive.infolist():
        if part.compress_type not in _METHODS:
            raise refuse(
                name,
                f"the part {part.filename[:60]!r} of the file is compressed in a way that those of "
                "workbooks are not. Open it in a spreadsheet program and save it anew",
            )


def _no_workbook(names: Sequence[str]) -> str:
    if not names:
        return "the file is an empty zip archive"
    if any(each.startswith(("word/", "ppt/")) for each in names) or "content.xml" in names:
        return f"the file is a document without sheets of cells. {_AS_CSV}"
    shown = ", ".join(each[:60] for each in names[:3])
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return f"the file is a zip archive that is no workbook: it holds {shown}{more}. Unpack it first"
