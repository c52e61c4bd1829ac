"""Setting a document from a template and its data.

The data goes in as JSON, so no text of a user can act as a command of the template.
"""

import json
import re
import tempfile
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

import typst

from estimator.documents.pdf.logo import check_logo
from estimator.documents.pdf.records import Sheet
from estimator.documents.pictures.plain_text import printable
from estimator.finding import Fault, InputRefused

# Longer words get places at which a line may break, or they would run off the page.
_LONG_WORD = re.compile(r"[^\s\u200b]{25,}")
_BREAK_EVERY = 12
_LONGEST_FOOT = 90
_TEMPLATES = files("estimator.documents.pdf") / "templates"


def typeset(
    template: str,
    sheet: Sheet,
    data: Mapping[str, object],
    pictures: Mapping[str, str] | None = None,
) -> bytes:
    """A tagged PDF with its fonts in it.

    It conforms to PDF/UA-1 unless no font of this machine has a letter that is asked for;
    such a letter is shown as a box, and kept as text.
    pictures: SVG texts that the template asks for by name. Raises InputRefused for a logo
    that is no picture or too large.
    """
    logo = sheet.letterhead.logo
    kind = check_logo(logo) if logo else ""
    whole = {
        **data,
        "foot": str(data["title"])[:_LONGEST_FOOT],
        "paper": sheet.paper,
        "letterhead": {"name": sheet.letterhead.name, "lines": list(sheet.letterhead.lines)},
        "logo": f"logo.{kind}" if kind else "",
    }
    with tempfile.TemporaryDirectory(prefix="estimator-pdf-") as folder:
        room = Path(folder)
        (room / "data.json").write_text(json.dumps(_clean(whole)), "utf-8")
        for name, picture in (pictures or {}).items():
            (room / f"{name}.svg").write_text(picture, "utf-8")
        if logo:
            (room / f"logo.{kind}").write_bytes(logo)
        for name in ("house.typ", template):
            (room / name).write_text((_TEMPLATES / name).read_text("utf-8"), "utf-8")
        made = _compile(room, template, has_logo=bool(logo))
    if not isinstance(made, bytes):
        raise TypeError("one document was expected")
    return made


def _compile(room: Path, template: str, *, has_logo: bool) -> object:
    try:
        return typst.compile(room / template, root=room, format="pdf", pdf_standards="ua-1")
    except typst.TypstError as error:
        if has_logo and "image" in str(error):
            fault = Fault("logo", "cannot be drawn; give a PNG, JPEG or SVG picture")
            raise InputRefused("letterhead", (fault,)) from None
        if "could not be displayed" not in str(error):
            raise
    return typst.compile(room / template, root=room, format="pdf")


def _breakable(word: re.Match[str]) -> str:
    letters = word[0]
    pieces = [letters[at : at + _BREAK_EVERY] for at in range(0, len(letters), _BREAK_EVERY)]
    return "\u200b".join(pieces)


def _clean(value: object) -> object:
    if isinstance(value, str):
        return _LONG_WORD.sub(_breakable, printable(value))
    if isinstance(value, Mapping):
        return {name: _clean(each) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_clean(each) for each in value]
    return value
