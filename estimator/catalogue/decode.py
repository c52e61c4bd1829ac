"""From the bytes of a price list to its text, or a clear refusal."""

import codecs

from estimator.finding import Fault, InputRefused

MAX_BYTES = 20 * 1024 * 1024

_OTHER_FORMATS = (
    (b"PK\x03\x04", "a workbook or another zip archive"),
    (b"PK\x05\x06", "an empty zip archive"),
    (b"\xd0\xcf\x11\xe0", "an old workbook or document"),
    (b"\x1f\x8b", "a compressed file"),
    (b"%PDF", "a PDF document"),
)
_CONTROL = bytes(set(range(32)) - {9, 10, 12, 13, 26})
_BYTE_ORDER_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def refuse(name: str, message: str, where: str = "") -> InputRefused:
    """The refusal of a whole file for one reason."""
    return InputRefused(name, (Fault(where, message),))


def decode(data: bytes, name: str) -> str:
    """Text of a price list: by its byte order mark, else UTF-8, else Windows-1252.

    Raises InputRefused when the file is too large, empty, another format, or not text.
    """
    if len(data) > MAX_BYTES:
        raise refuse(
            name,
            f"the file has {len(data):,} bytes; at most {MAX_BYTES:,} can be read. Split it",
        )
    for start, what in _OTHER_FORMATS:
        if data.startswith(start):
            raise refuse(name, f"the file is {what}, not text. Save the price list as CSV")
    text = _text(data, name)
    if not text.strip():
        raise refuse(name, "the file is empty. A price list needs a head row and at least one item")
    return text


def _text(data: bytes, name: str) -> str:
    for mark, encoding in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            try:
                text = data.decode(encoding)
            except UnicodeDecodeError as error:
                raise refuse(
                    name,
                    f"the file is marked as {encoding} but byte {error.start} is not. "
                    "Save it as CSV in UTF-8",
                ) from None
            if "\0" in text:
                raise _binary(name)
            return text
    if data.translate(None, _CONTROL) != data:
        raise _binary(name)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        pass
    try:
        return data.decode("cp1252")
    except UnicodeDecodeError as error:
        raise refuse(
            name,
            f"byte {error.start} is neither UTF-8 nor Windows-1252 text. Save it as CSV in UTF-8",
        ) from None


def _binary(name: str) -> InputRefused:
    return refuse(name, "the file is binary, not text. Save the price list as CSV")
