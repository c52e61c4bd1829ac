"""The encoding of a text: by its byte order mark, else UTF-8, else the likeliest of old ones.

General detectors were tried and need more text than the few signs of a price list: of short lines
in Windows-1252 one in four was taken for another encoding. Which signs price lists hold is known.
"""

import codecs
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import BinaryIO

from estimator.catalogue.files.limits import ListLimits
from estimator.catalogue.files.refusal import refuse

_CHUNK = 1 << 20
# Line feed, tab, form feed, carriage return, and the end mark of old systems may stand in a text.
_CONTROL = bytes(set(range(32)) - {9, 10, 12, 13, 26})
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# Windows first: it wins where several are as likely. cp850 stands for old DOS programs.
_OLD: Sequence[str] = ("cp1252", "cp850", "mac_roman")
_SIGNS = frozenset("¼½¾°±µ²³×·®™©€£§–—‘’“”•…\u00a0\u00ad´º¹÷¢≤≥")  # noqa: RUF001
_MOST_LINES = 400
_MOST_LINE = 400


@dataclass(slots=True)
class _Seen:
    """What was seen of a text so far. lines: samples of it. signs: every byte beyond ASCII."""

    size: int = 0
    lines: list[bytes] = field(default_factory=list)
    signs: set[int] = field(default_factory=set)
    rest: bytes = b""
    blank: bool = True

    def add(self, chunk: bytes) -> None:
        self.size += len(chunk)
        self.blank = self.blank and not chunk.strip()
        if chunk.isascii():
            return
        self.signs.update(chunk)
        if len(self.lines) < _MOST_LINES:
            self.lines += [line[:_MOST_LINE] for line in chunk.split(b"\n") if not line.isascii()][
                : _MOST_LINES - len(self.lines)
            ]


def find_encoding(file: BinaryIO, name: str, limits: ListLimits) -> str:
    """The name of the encoding, after a look at every byte of the file.

    Raises InputRefused when the file is empty, is no text in any encoding that we know, holds
    NUL or other control characters, or is longer than ``limits.unzipped_bytes``.
    """
    file.seek(0)
    head = file.read(4096)
    file.seek(0)
    encoding = _marked(head)
    if encoding:
        _check_marked(file, name, encoding, limits)
        return encoding
    seen = _Seen()
    utf8: codecs.IncrementalDecoder | None = codecs.getincrementaldecoder("utf-8")()
    for chunk in _chunks(file, name, limits):
        _refuse_control(chunk, name, seen.size)
        seen.add(chunk)
        utf8 = _still(utf8, chunk)
    if seen.blank:
        raise refuse(name, "the file is empty. A price list needs a head row and at least one item")
    if utf8 is not None and _still(utf8, b"", final=True) is not None:
        return "utf-8"
    return _old_encoding(seen.lines, bytes(seen.signs), name)


def _marked(head: bytes) -> str:
    for mark, encoding in _MARKS:
        if head.startswith(mark):
            return encoding
    # Without a mark: every second byte of plain Latin text in UTF-16 is zero.
    pairs = len(head) // 2
    if pairs >= 8:
        if head[1::2].count(0) > pairs * 0.6 and head[0::2].count(0) == 0:
            return "utf-16-le"
        if head[0::2].count(0) > pairs * 0.6 and head[1::2].count(0) == 0:
            return "utf-16-be"
    return ""


def _chunks(file: BinaryIO, name: str, limits: ListLimits) -> Iterator[bytes]:
    size = 0
    while chunk := file.read(_CHUNK):
        size += len(chunk)
        if size > limits.unzipped_bytes:
            raise refuse(
                name,
                f"the text has more than {limits.unzipped_bytes:,} bytes, the most that can be "
                "read. Split it",
            )
        yield chunk


def _refuse_control(chunk: bytes, name: str, before: int) -> None:
    if len(chunk.translate(None, _CONTROL)) == len(chunk):
        return
    at = next(place for place, byte in enumerate(chunk) if byte in _CONTROL)
    what = "NUL bytes" if chunk[at] == 0 else "control characters"
    raise refuse(
        name,
        f"the file is binary or damaged, not text: it holds {what}, the first at byte "
        f"{before + at:,}. Save the price list as CSV",
    )


def _still(
    decoder: codecs.IncrementalDecoder | None, chunk: bytes, *, final: bool = False
) -> codecs.IncrementalDecoder | None:
    """The decoder, or None from the first byte on that it cannot read."""
    if decoder is None:
        return None
    try:
        decoder.decode(chunk, final)
    except UnicodeDecodeError:
        return None
    return decoder


def _check_marked(file: BinaryIO, name: str, encoding: str, limits: ListLimits) -> None:
    decoder = codecs.getincrementaldecoder(encoding)()
    blank, before = True, 0
    for chunk in chain(_chunks(file, name, limits), (b"",)):
        try:
            text = decoder.decode(chunk, not chunk)
        except UnicodeDecodeError as error:
            raise refuse(
                name,
                f"the file is marked as {encoding.removesuffix('-sig')} but from byte "
                f"{before + error.start:,} on it is not. Save it as CSV in UTF-8",
            ) from None
        before += len(chunk)
        blank = blank and not text.strip("\ufeff \t\r\n")
        if not _CONTROL_TEXT.isdisjoint(text):
            raise refuse(
                name, "the file is binary or damaged, not text: it holds NUL or other control "
                "characters. Save the price list as CSV",
            )  # fmt: skip
    if blank:
        raise refuse(name, "the file is empty. A price list needs a head row and at least one item")


_CONTROL_TEXT = frozenset(_CONTROL.decode("ascii"))


def _old_encoding(lines: Sequence[bytes], signs: bytes, name: str) -> str:
    best, highest = "", -1.0
    for encoding in _OLD:
        try:
            text = [line.decode(encoding) for line in lines]
        except UnicodeDecodeError:
            continue
        score = _likely(text)
        if score > highest:
            best, highest = encoding, score
    # Every byte is some sign in mac_roman; what looks like nothing in all of them is no text.
    if highest < 0.5 or not _can_be(best, signs):
        raise refuse(
            name,
            "the file is neither UTF-8 nor Windows-1252 text, nor another encoding that price "
            "lists come in. Save it as CSV in UTF-8",
        )
    return best


def _can_be(encoding: str, signs: bytes) -> bool:
    """Whether all bytes are signs of it, those beyond the samples too: each is one sign."""
    try:
        signs.decode(encoding)
    except UnicodeDecodeError:
        return False
    return True


def _likely(lines: Sequence[str]) -> float:
    """The share of the signs beyond ASCII that make sense where they stand."""
    good = total = 0
    for line in lines:
        for at, sign in enumerate(line):
            if sign > "\x7f":
                total += 1
                before = line[at - 1] if at else " "
                after = line[at + 1] if at + 1 < len(line) else " "
                good += _makes_sense(sign, before, after)
    return good / total if total else 1.0


def _makes_sense(sign: str, before: str, after: str) -> bool:
    if sign in _SIGNS:
        return True
    if sign in "Øø":
        return not before.isdigit() and (after.isalnum() or after == " ")
    if not sign.isalpha():
        return False
    if before.isdigit() or (before.islower() and sign.isupper()):
        return False
    return before.isalpha() or after.isalpha()
