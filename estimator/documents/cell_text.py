"""Text of users, price lists and tables made fit for a spreadsheet cell."""

import re

LONGEST_CELL = 32767
LONGEST_PROPERTY = 255

# Everything that XML 1.0 or a spreadsheet cannot hold; tab and line feed stay.
_FORBIDDEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")
# Spreadsheet programs read _x0041_ inside a text as an escaped letter.
_ESCAPE_LIKE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
_COMMAND_LIKE = ("=", "+", "-", "@", "\t", "\n", "|", "%", "＝", "＋", "－", "＠")  # noqa: RUF001


def cell_text(text: str) -> str:
    """Text without control characters, at most as long as a cell may be (32767 UTF-16 units)."""
    clean = _FORBIDDEN.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
    return _shortened(_ESCAPE_LIKE.sub("_x005F_", clean), LONGEST_CELL)


def property_text(text: str) -> str:
    """Text for a document property: one line, at most 255 characters."""
    return _shortened(" ".join(cell_text(text).split()), LONGEST_PROPERTY)


def looks_like_a_command(text: str) -> bool:
    """Whether a spreadsheet would run the text if somebody edited or re-imported its cell."""
    return text.lstrip(" ").startswith(_COMMAND_LIKE)


def _shortened(text: str, units: int) -> str:
    if len(text) <= units // 2:
        return text
    encoded = text.encode("utf-16-le")
    if len(encoded) <= 2 * units:
        return text
    return encoded[: 2 * (units - 1)].decode("utf-16-le", "ignore") + "…"
