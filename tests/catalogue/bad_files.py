"""Files that are made to do harm, or are something else than their name says."""

import gzip
import io
import zipfile
from collections.abc import Callable, Iterator
from itertools import repeat

import openpyxl

HEAD = "item number,kind,attributes,price,per"
ROW = "B-1,insulating_bushing,trade_size=1/2,0.30,EA"
MIB = 1 << 20


def workbook(*rows: str) -> bytes:
    """A workbook with rows written as CSV."""
    book = openpyxl.Workbook()
    for each in rows or (HEAD, ROW):
        book.active.append(each.split(","))
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def packed(chunks: Iterator[bytes]) -> bytes:
    """Chunks as gzip."""
    data = io.BytesIO()
    with gzip.GzipFile(fileobj=data, mode="wb", compresslevel=9) as file:
        for chunk in chunks:
            file.write(chunk)
    return data.getvalue()


def changed(data: bytes, part: str, change: Callable[[bytes], bytes]) -> bytes:
    """A zip file with one part changed."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, change(old.read(name)) if name == part else old.read(name))
    return out.getvalue()


def blown_up(part: str, end: bytes, filling: bytes, megabytes: int) -> bytes:
    """A workbook one part of which unpacks to so many MiB."""
    times = megabytes * MIB // len(filling)
    return changed(workbook(), part, lambda text: text.replace(end, filling * times + end))


def bombs() -> dict[str, bytes]:
    """Small files that unpack to much, by name."""
    return {
        "zeros.csv.gz": packed(repeat(b"0" * MIB, 400)),
        "rows.csv.gz": packed(
            iter([HEAD.encode() + b"\n", *repeat(b"a,b,c,1,EA\n" * 95_000, 150)])
        ),
        "twice.csv.gz": packed(iter([packed(repeat(b"0" * MIB, 20))])),
        "blanks.xlsx": blown_up("xl/worksheets/sheet1.xml", b"</sheetData>", b" ", 150),
        "rows.xlsx": blown_up(
            "xl/worksheets/sheet1.xml", b"</sheetData>", b"<row><c><v>1</v></c></row>", 150
        ),
        "styles.xlsx": blown_up("xl/styles.xml", b"</styleSheet>", b" ", 60),
        "entities.xlsx": changed(
            workbook(),
            "xl/worksheets/sheet1.xml",
            lambda text: text.replace(
                b"<worksheet",
                b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;">]><worksheet',
                1,
            ),
        ),
    }


def wide() -> dict[str, bytes]:
    """Tables of ten thousand columns, by name."""
    commas = "," * 9_995
    return {
        "head.csv": f"{HEAD}{commas}\n{ROW}\n".encode(),
        "no_names.csv": (",".join(f"c{at}" for at in range(10_000)) + f"\n{ROW}\n").encode(),
        "head.xlsx": workbook(HEAD + ",x" * 9_995, ROW),
        "far_right.xlsx": workbook(HEAD, ROW + commas + "x"),
    }
