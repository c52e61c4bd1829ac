"""Compressed files, unpacked within their limits."""

import gzip
import io
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import BinaryIO

from estimator.catalogue.files.limits import MIB, ListLimits
from estimator.catalogue.files.refusal import refuse

_CHUNK = 1 << 16


def gunzip(file: BinaryIO, packed_bytes: int, name: str, limits: ListLimits) -> BinaryIO:
    """The unpacked bytes, held in memory. Raises InputRefused beyond the limits."""
    file.seek(0)
    unpacked = io.BytesIO()
    with gzip.GzipFile(fileobj=file) as stream:
        while chunk := stream.read(_CHUNK):
            unpacked.write(chunk)
            if unpacked.tell() > limits.unzipped_bytes:
                raise refuse(name, too_much(packed_bytes, limits.unzipped_bytes))
    return unpacked


def unpacked_limits(packed_bytes: int, limits: ListLimits) -> ListLimits:
    """The limits of what a compressed file of so many bytes unpacks to."""
    most = min(limits.unzipped_bytes, max(MIB, packed_bytes * limits.expansion))
    return replace(limits, unzipped_bytes=most)


@contextmanager
def refusing_damage(name: str) -> Iterator[None]:
    """Turn what the unpacking library raises for damaged files into InputRefused."""
    try:
        yield
    except (OSError, EOFError, zlib.error):
        raise refuse(name, "the compressed file is damaged. Send it again") from None


def too_much(packed_bytes: int, most: int) -> str:
    """Why a file that unpacks to more than it may is refused."""
    return (
        f"the file of {packed_bytes:,} bytes unpacks to more than {most:,} bytes; that is more "
        "than a price list of its size holds. Save it as plain CSV, or split it"
    )
