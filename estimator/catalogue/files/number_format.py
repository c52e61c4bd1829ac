"""What a number format of a workbook writes beside the number: "$", " /C", "%"."""

import re
from dataclasses import dataclass
from functools import lru_cache

_LONGEST = 12
_CURRENCY = re.compile(r"\[\$([^\]-]*)(?:-[^\]]*)?\]")
_CONDITION = re.compile(r"\[[^\]]*\]")
_SPACING = re.compile(r"[_*].")
_LITERAL = re.compile(r'"([^"]*)"|\\(.)')
_DIGITS = re.compile(r"[0#?][0#?.,\s/]*(?:E[+-]0+)?")


@dataclass(frozen=True, slots=True)
class NumberFormat:
    """before, after: texts beside the number. percent: the number shows a hundred times.

    digits: of a whole number, at least, filled up with zeros.
    """

    before: str = ""
    after: str = ""
    percent: bool = False
    digits: int = 1


PLAIN = NumberFormat()


@lru_cache(maxsize=1024)
def read_number_format(code: str) -> NumberFormat:
    """What a format code writes beside positive numbers.

    Source: ECMA-376, part 1, 18.8.31 (numFmts): sections by ";", literals in quotation marks
    or after a backslash, [$sign-locale], "_" and "*" with the sign that they space.
    """
    section = code.partition(";")[0]
    if section in ("", "General", "@"):
        return PLAIN
    kept: list[str] = []

    def keep(found: re.Match[str]) -> str:
        kept.append(found[1] or (found[2] if found.re is _LITERAL else "") or "")
        return chr(0xE000 + len(kept) - 1)

    text = _CURRENCY.sub(keep, _LITERAL.sub(keep, section))
    text = _SPACING.sub("", _CONDITION.sub("", text))
    digits = _DIGITS.search(text)
    if digits is None or len(kept) > 20:
        return PLAIN
    before, after = (
        "".join(kept[ord(sign) - 0xE000] if sign >= "\ue000" else sign for sign in part)
        for part in (text[: digits.start()], text[digits.end() :])
    )
    percent = "%" in after or "%" in before
    before, after = before.strip(), after.rstrip()
    if len(before) + len(after) > _LONGEST:
        return PLAIN
    zeros = digits[0].strip()
    width = len(zeros) if zeros.strip("0") == "" else 1
    return NumberFormat(before, after, percent, width)
