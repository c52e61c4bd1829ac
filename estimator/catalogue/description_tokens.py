"""A cramped description cut into words and figures, the way the trade runs them together."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import gcd
from typing import Literal

from estimator.job.configurations import load_configurations

Shape = Literal[
    "word",
    "whole",
    "fraction",
    "conductors",
    "span",
    "gauge",
    "aught",
    "decimal",
    "range",
    "configuration",
    "plug",
    "cord_connector",
]
Joint = Literal["", " ", "~"]

# Fractions as one sign, multiplication sign, dashes, quotation marks, degree sign.
_SIGN_TABLE = str.maketrans({
    "\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4", "\u215b": " 1/8", "\u215c": " 3/8",
    "\u215d": " 5/8", "\u215e": " 7/8", "\u00d7": "X", "\u2010": "-", "\u2011": "-",
    "\u2012": "-", "\u2013": "-", "\u2014": "-", "\u2033": '"', "\u201c": '"', "\u201d": '"',
    "\u2032": "'", "\u2018": "'", "\u2019": "'", "\u00b0": " DEG ", "\u00a0": " ",
})  # fmt: skip
# What is written together or short, as words: a sign that it needs, how it looks, the words.
_WRITTEN = tuple((sign, re.compile(written), plain) for sign, written, plain in (
    (",", r"(?<=\d),(?=\d{3}(?!\d))", ""),
    ('"', r'(?<=[0-9])\s*"', " IN "),
    ("'", r"(?<=[0-9])\s*''", " IN "),
    ("'", r"(?<=[0-9])\s*'", " FT "),
    ("NO", r"\bNO\.?\s*(?=[0-9])", "#"),  # "NO GROUND" is none
    # "500R" and "1M RL" are reels, of 500 and of 1000 ft.
    ("M", r"(?<![-./0-9A-Z])([1-9])M (?=(?:RL|REEL|SPL|SPOOL|COIL)\b)", r"\g<1>000 "),
    ("R", r"(?<![-./#0-9A-Z])([0-9]{3,4})R\b", r"\1 REEL "),
    ("S", r"(?<=[-\s])([0-9]{3,4})S\b", r"\1 SPOOL "),
    # A price for a hundred or a thousand after the pack.
    (" ", r"(?<=FT|BX|PK|BG|RL|TN)\s+([CM])\s*$", r" PER \1"),
    # "1/4-20X2": a machine thread of 20 turns in the inch, which the length does not need.
    ("-", r"(?<![-/0-9])(1/4|5/16|3/8|3/16)-(?:20|18|16|24)(?=\s*X\s*[0-9])", r"\1"),
    ("X", r"(?<=[0-9])\s*(FT|IN)X(?=[0-9])", r" \1 X "),
    ("#", r"(?<=[0-9])#(?![0-9])", " LB "),
    ("W/", r"\bW/O(?![A-Z])", " WITHOUT "),
    ("W/", r"\bW/(?=[ A-Z0-9#])", " WITH "),
    ("F/", r"\bF/(?=[ A-Z0-9#])", " FOR "),
    ("/", r"(?<=[0-9])/(?=[A-Z])", " PER "),
))  # fmt: skip
# A cord of unlike conductors: three of one size and one of another.
_CORD = re.compile(r"(?<![0-9/])([0-9]{1,2}/[2-4])\s*[-+& ]\s*([0-9]{1,2}/1)(?![0-9/])")
_LARGEST_DENOMINATOR = 64
_MOST_CONDUCTORS = 6
_SIXTEENTHS = 16
_MOST_DECIMALS = 4
_PROPER = r"(?:1/2|[13]/4|[1357]/8|(?:[13579]|1[135])/16|[1-3]?[0-9]/(?:32|64))(?![0-9])"


@dataclass(frozen=True, slots=True)
class Token:
    """One word or figure. joint: "~" when it stood without a blank against the one before."""

    text: str
    shape: Shape
    joint: Joint


def tokens_of(text: str) -> list[Token]:
    """Words and figures in their order; signs that carry no meaning are passed over."""
    text = _plain(text)
    tokens: list[Token] = []
    end = 0
    for found in _scanner().finditer(text):
        start = found.start()
        between = text[end:start]
        for shape, written in _shapes(found):
            glued = bool(tokens) and between in ("", "-") and _turns(tokens[-1], shape)
            joint: Joint = "" if not tokens else ("~" if glued else " ")
            tokens.append(Token(written, shape, joint))
            between = " "
        end = found.end()
    return tokens


def _plain(text: str) -> str:
    text = text.upper()
    if not text.isascii():
        text = text.translate(_SIGN_TABLE)
    for sign, written, plain in _WRITTEN:
        if sign in text:
            text = written.sub(plain, text)
    return text


def _turns(before: Token, shape: Shape) -> bool:
    """Whether a word follows a figure or a figure a word; two words are never one."""
    return (before.shape == "word") != (shape == "word") or shape == "gauge"


@cache
def _scanner() -> re.Pattern[str]:
    names = sorted(_ends(), key=len, reverse=True)
    ends = "|".join(re.escape(name) for name in names)
    return re.compile(
        rf"(?<![A-Z0-9])(?P<end>{ends})(?P<gender>P/R|P-R|P|R|C)?(?![A-Z0-9])"
        r"|(?P<cord>(?<![0-9/])[0-9]{1,2}/[2-4]\s*[-+& ]\s*[0-9]{1,2}/1(?![0-9/]))"
        r"|(?P<strands>(?<![0-9/])[0-9]+(?:/0)?(?:-[0-9]+(?:/0)?){2,3}(?![-/0-9]))"
        r"|(?P<slashes>(?<![0-9/])[0-9]+(?:/[0-9]+){2,}(?![0-9]))"
        r"|(?P<range>(?<![-0-9/])(?:[0-9]+-[0-9]+/0|[0-9]+/0-[0-9]+(?:/0)?)(?![-0-9/]))"
        rf"|(?P<mixed>[0-9]+-{_PROPER}|[1-6] {_PROPER})"
        r"|(?P<fraction>[0-9]+/[0-9]+)"
        r"|(?P<span>[0-9]+-[0-9]+)"
        r"|(?P<decimal>[0-9]*\.[0-9]+)"
        r"|(?P<gauge>#\s?[0-9]+(?:/0)?)"
        r"|(?P<whole>[0-9]+)"
        r"|(?P<word>[A-Z]+)"
    )


@cache
def _ends() -> Mapping[str, tuple[Shape, str]]:
    """What each spelling of a configuration stands for: the whole form, a plug, a connector."""
    found: dict[str, tuple[Shape, str]] = {}
    for row in load_configurations().values():
        found[row.configuration] = ("configuration", row.configuration)
        if row.plug != f"{row.configuration}P":
            found[row.plug] = ("plug", row.plug)
            found[row.connector] = ("cord_connector", row.connector)
    spelled = list(found.items())
    for name, meaning in spelled:
        if name[0].isalpha():
            found.setdefault(name.replace("-", ""), meaning)
    return found


def _shapes(found: re.Match[str]) -> tuple[tuple[Shape, str], ...]:
    group, text = found.lastgroup, found[0]
    if group in ("end", "gender"):
        return _configuration(found)
    if group == "cord":
        match = _CORD.fullmatch(text)
        assert match is not None  # the same form as in the scanner
        return (("conductors", f"{match[1]}+{match[2]}"),)
    if group == "strands":
        return (("conductors", text),)
    if group == "mixed":
        return (("fraction", text.replace(" ", "-")),)
    if group == "fraction":
        return (_fraction(text),)
    if group == "span":
        first, second = text.split("-")
        few = second.isdigit() and len(second) == 1 and 2 <= int(second) <= _MOST_CONDUCTORS
        return (("conductors", f"{first}/{second}") if few else ("span", text),)
    if group == "gauge":
        return (("gauge", text.removeprefix("#").strip()),)
    if group == "range":
        return (("range", text),)
    if group in ("decimal", "slashes"):
        return (_decimal(text),)
    return (("whole" if group == "whole" else "word", text),)


def _configuration(found: re.Match[str]) -> tuple[tuple[Shape, str], ...]:
    shape, name = _ends()[found["end"]]
    gender = found["gender"]
    if gender is None or shape != "configuration":
        return ((shape, name),)
    row = load_configurations()[name]
    if gender == "P":
        return (("plug", row.plug),)
    if gender in ("R", "C"):
        return (("cord_connector", row.connector),)
    return (("plug", row.plug), ("cord_connector", row.connector))


def _decimal(text: str) -> tuple[Shape, str]:
    """A decimal of whole sixteenths as the fraction that the trade writes: ".75" is 3/4."""
    whole, _, part = text.partition(".")
    above = int(part) * _SIXTEENTHS if part and len(part) <= _MOST_DECIMALS else 0
    below = 10 ** len(part)
    if above == 0 or above % below:
        return "decimal", text
    above //= below
    common = gcd(above, _SIXTEENTHS)
    fraction = f"{above // common}/{_SIXTEENTHS // common}"
    return "fraction", f"{int(whole)}-{fraction}" if int(whole or 0) else fraction


def _fraction(text: str) -> tuple[Shape, str]:
    above, below = (int(part) for part in text.split("/"))
    if below == 0:
        return ("aught", text) if 1 <= above <= 4 else ("decimal", text)
    proper = above < below <= _LARGEST_DENOMINATOR and below & (below - 1) == 0
    if proper and gcd(above, below) == 1:
        return "fraction", text
    return ("conductors", text) if below <= _MOST_CONDUCTORS else ("decimal", text)
