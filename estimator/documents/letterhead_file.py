"""The letterhead of one's own: a TOML file with name, lines and the path of a logo."""

import tomllib

from estimator.finding import Fault, InputRefused

_FIELDS = ("name", "lines", "logo")
_MOST_LINES, _LONGEST = 8, 120


def read_letterhead(data: bytes, file: str) -> tuple[str, tuple[str, ...], str]:
    """(Name, lines, path of the logo or "") of a letterhead file.

    Raises InputRefused with every fault: not TOML, unknown or missing fields, texts that are
    too long for the head of a page.
    """
    try:
        document = tomllib.loads(data.decode("utf-8"))
    except (ValueError, RecursionError) as error:  # also endless digits, endless nesting
        raise InputRefused("letterhead", (Fault(file, f"is not TOML: {error}"),)) from None
    faults = [
        Fault(f"{file}, {name}", f"is not a field; the fields are {', '.join(_FIELDS)}")
        for name in document
        if name not in _FIELDS
    ]
    name, lines, logo = (document.get(field, "") for field in _FIELDS)
    lines = lines or []
    if not _is_text(name) or not name:
        faults.append(Fault(f"{file}, name", f"must be text of 1 to {_LONGEST} characters"))
    if not isinstance(lines, list) or len(lines) > _MOST_LINES or not all(map(_is_text, lines)):
        faults.append(
            Fault(f"{file}, lines", f"must be at most {_MOST_LINES} texts of {_LONGEST} characters")
        )
    if not isinstance(logo, str):
        faults.append(Fault(f"{file}, logo", "must be the path of a PNG, JPEG or SVG picture"))
    if faults:
        raise InputRefused("letterhead", tuple(faults))
    return name, tuple(lines), logo


def _is_text(value: object) -> bool:
    return isinstance(value, str) and len(value) <= _LONGEST
