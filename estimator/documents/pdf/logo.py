"""Whether the bytes of a logo are a picture that may be set, by what they hold."""

import struct

from estimator.finding import Fault, InputRefused

MAX_BYTES = 2 * 1024 * 1024
MAX_SIDE = 6000


def check_logo(data: bytes) -> str:
    """The kind of picture: "png", "jpg" or "svg".

    Raises InputRefused for anything else, for more than 2 MiB, and for a PNG picture of more
    than 6,000 points a side, which would take much memory to open.
    """
    if len(data) > MAX_BYTES:
        raise _refused(f"has {len(data):,} bytes; at most {MAX_BYTES:,} can be used")
    if data.startswith(b"\x89PNG\r\n\x1a\n") and len(data) > 24:
        width, height = struct.unpack(">II", data[16:24])
        if not (0 < width <= MAX_SIDE and 0 < height <= MAX_SIDE):
            raise _refused(f"is {width} x {height} points; at most {MAX_SIDE} a side can be used")
        return "png"
    if data.startswith(b"\xff\xd8\xff"):
        return "jpg"
    head = data[:500].lstrip(b"\xef\xbb\xbf \t\r\n")
    if head.startswith((b"<svg", b"<?xml")) and b"<svg" in data[:2000]:
        return "svg"
    raise _refused("is no PNG, JPEG or SVG picture")


def _refused(message: str) -> InputRefused:
    return InputRefused("letterhead", (Fault("logo", message),))
