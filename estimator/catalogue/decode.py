"""From the bytes of a small table of text to its text, or a clear refusal."""

import io

from estimator.catalogue.files.encoding import find_encoding
from estimator.catalogue.files.kind_of_file import kind_of_file
from estimator.catalogue.files.limits import DEFAULT_LIMITS
from estimator.catalogue.files.refusal import refuse

__all__ = ["MAX_BYTES", "decode", "refuse"]

MAX_BYTES = DEFAULT_LIMITS.file_bytes


def decode(data: bytes, name: str) -> str:
    """The text, in whichever encoding it is (see files/encoding.py).

    Raises InputRefused when the file is too large, empty, another format, or not text.
    """
    if len(data) > MAX_BYTES:
        raise refuse(
            name,
            f"the file has {len(data):,} bytes; at most {MAX_BYTES:,} can be read. Split it",
        )
    file = io.BytesIO(data)
    if kind_of_file(file, name) != "text":
        raise refuse(name, "the file is a workbook or compressed, not text. Save it as CSV")
    return data.decode(find_encoding(file, name, DEFAULT_LIMITS))
