"""Files with something wrong in them, made at random from sound ones; a seed gives the same."""

from collections.abc import Callable
from random import Random

# What readers of text, numbers, dates and markup have stumbled over elsewhere.
TOKENS = (
    b"", b"\0", b"\xff\xfe", b"\xef\xbb\xbf", b"\xed\xa0\x80", b'"', b"'", b",", b";", b"\t",
    b"\r", b"\n", b"\r\n\r\n", b"NaN", b"-inf", b"1e999999", b"1E-999999", b"-0", b"9" * 400,
    b"9" * 5000, b"0x10", b"1_000", b"1,5", b"1.234,56", b"$", b"%", b"\xe2\x82\xac",
    b"2025-02-30", b"9999-12-31", b"0001-01-01", b"24:00", b"true", b"null", b"~", b"{", b"}",
    b"[", b"]", b"[" * 3000, b"{\"a\":" * 3000, b"- " * 3000, b"&a [*a,*a]",
    b"!!python/object:os.system", b"<<: *a", b"=cmd|' /C calc'!A0", b"<script>", b"]]>", b"--",
    b"#", b"\\", b"\\u0000", b"\\ud800", b"a" * 70_000, b"\xe2\x80\xae", b"\xf0\x9f\x94\x8c",
    b"A\xcc\x88" * 50, b"../../etc/passwd", b"C", b"M", b"\x1a",
)  # fmt: skip


def mutated(data: bytes, seed: int, others: tuple[bytes, ...] = ()) -> bytes:
    """The same file with one to six things wrong. others: files to cross it with."""
    dice = Random(seed)
    for _ in range(dice.choice((1, 1, 1, 2, 3, 6))):
        data = dice.choice(_CHANGES)(data, dice, others)
    return data


def _place(data: bytes, dice: Random) -> int:
    return dice.randint(0, len(data))


def _token(data: bytes, dice: Random, _: tuple[bytes, ...]) -> bytes:
    at = _place(data, dice)
    return data[:at] + dice.choice(TOKENS) + data[at:]


def _value(data: bytes, dice: Random, _: tuple[bytes, ...]) -> bytes:
    """A token in the place of one word of the file."""
    words = data.split(b",") if b"," in data else data.split(b" ")
    words[dice.randrange(len(words))] = dice.choice(TOKENS)
    return (b"," if b"," in data else b" ").join(words)


def _bits(data: bytes, dice: Random, _: tuple[bytes, ...]) -> bytes:
    changed = bytearray(data or b"\0")
    for _round in range(dice.choice((1, 2, 8, 64))):
        changed[dice.randrange(len(changed))] ^= 1 << dice.randrange(8)
    return bytes(changed)


def _cut(data: bytes, dice: Random, _: tuple[bytes, ...]) -> bytes:
    one, two = sorted((_place(data, dice), _place(data, dice)))
    return data[:one] + data[two:] if dice.random() < 0.7 else data[:one]


def _twice(data: bytes, dice: Random, _: tuple[bytes, ...]) -> bytes:
    one, two = sorted((_place(data, dice), _place(data, dice)))
    return data[:two] + data[one:two][:4000] * dice.choice((1, 2, 9)) + data[two:]


def _line(data: bytes, dice: Random, _: tuple[bytes, ...]) -> bytes:
    lines = data.split(b"\n")
    one, two = dice.randrange(len(lines)), dice.randrange(len(lines))
    lines[one], lines[two] = lines[two], lines[one]
    return b"\n".join(lines if dice.random() < 0.5 else lines[: one + 1] + lines[one:])


def _crossed(data: bytes, dice: Random, others: tuple[bytes, ...]) -> bytes:
    other = dice.choice(others) if others else bytes(reversed(data))
    return data[: _place(data, dice)] + other[_place(other, dice) :]


_CHANGES: tuple[Callable[[bytes, Random, tuple[bytes, ...]], bytes], ...] = (
    _token, _token, _value, _value, _bits, _cut, _twice, _line, _crossed,
)  # fmt: skip
