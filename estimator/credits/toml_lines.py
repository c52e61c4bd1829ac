"""On which line of a TOML text each of its fields and tables stands."""

import re
from collections.abc import Mapping

Path = tuple[str | int, ...]
_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
_FIELD = re.compile(r"\s*([A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*')\s*=\s*(.*)$")
_QUOTED = re.compile(r"\"\"\"|'''|\"(?:[^\"\\]|\\.)*\"|'[^']*'|#.*")


def toml_lines(text: str) -> Mapping[Path, int]:
    """Line numbers from 1 by path, such as ("rate", 0, "value") for the first ``[[rate]]``.

    text: TOML that has been read without a fault. Fields of an inline table have the line of
    the table; what stands inside a text or a list of several lines is not taken for a field.
    """
    lines: dict[Path, int] = {(): 1}
    counts: dict[str, int] = {}
    table: Path = ()
    depth, quote = 0, ""
    for number, line in enumerate(text.splitlines(), start=1):
        if quote or depth:
            depth, quote = _after(line, depth, quote)
            continue
        header = _HEADER.match(line)
        field = _FIELD.match(line)
        if header:
            table = _table(header[1], header[2], counts)
            lines[table] = number
        elif field:
            lines[(*table, field[1].strip("\"'"))] = number
            depth, quote = _after(field[2], 0, "")
    return lines


def _table(brackets: str, name: str, counts: dict[str, int]) -> Path:
    words: Path = tuple(word.strip().strip("\"'") for word in name.split("."))
    if brackets == "[":
        return words
    place = counts.get(name, 0)
    counts[name] = place + 1
    return (*words, place)


def _after(rest: str, depth: int, quote: str) -> tuple[int, str]:
    """Depth of lists and the open long quote once this piece of text is read."""
    while quote or rest:
        if quote:
            _, found, rest = rest.partition(quote)
            if not found:
                return depth, quote
            quote = ""
            continue
        match = _QUOTED.search(rest)
        plain = rest if match is None else rest[: match.start()]
        depth += plain.count("[") + plain.count("{") - plain.count("]") - plain.count("}")
        rest = "" if match is None else rest[match.end() :]
        if match is not None and match[0] in ('"""', "'''"):
            quote = match[0]
    return depth, quote
