"""Which parts of an XLSX workbook hold its sheets."""

import posixpath
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass

from estimator.catalogue.files.survey import Unreadable, local, parse_xml

_WORKBOOK = "xl/workbook.xml"
_RELATIONS = "xl/_rels/workbook.xml.rels"


@dataclass(frozen=True, slots=True)
class SheetPart:
    """A sheet: its name, the part that holds it, and whether it is hidden."""

    name: str
    part: str
    hidden: bool


@dataclass(frozen=True, slots=True)
class XlsxParts:
    """Sheets of cells in their order. texts: the part of shared texts; blank when there is none."""

    sheets: tuple[SheetPart, ...]
    texts: str


def xlsx_parts(archive: zipfile.ZipFile) -> XlsxParts:
    """The parts of a workbook. Raises Unreadable (ECMA-376, part 1, 18.2.19; part 2, 9.3)."""
    relations: dict[str, tuple[str, str]] = {}
    sheets: list[tuple[str, str, bool]] = []

    def relation(tag: str, attributes: Mapping[str, str]) -> None:
        if local(tag) != "Relationship" or attributes.get("TargetMode") == "External":
            return
        identity = attributes.get("Id", "")
        if identity in relations:
            raise Unreadable(f"two of its parts are called {identity[:20]!r}")
        kind = attributes.get("Type", "").rpartition("/")[2]
        relations[identity] = (kind, _part(attributes.get("Target", "")))

    def sheet(tag: str, attributes: Mapping[str, str]) -> None:
        if local(tag) == "sheet":
            named = {local(name): value for name, value in attributes.items()}
            hidden = named.get("state", "visible") != "visible"
            sheets.append((named.get("name", ""), named.get("id", ""), hidden))

    try:
        with archive.open(_RELATIONS) as part:
            parse_xml(part, relation, lambda _: None)
        with archive.open(_WORKBOOK) as part:
            parse_xml(part, sheet, lambda _: None)
    except KeyError:
        raise Unreadable("it has no list of its parts") from None
    texts = [part for kind, part in relations.values() if kind == "sharedStrings"]
    cells = {each: part for each, (kind, part) in relations.items() if kind == "worksheet"}
    return XlsxParts(
        tuple(SheetPart(name, cells[to], hidden) for name, to, hidden in sheets if to in cells),
        texts[0] if texts else "",
    )


def _part(target: str) -> str:
    return posixpath.normpath(posixpath.join("/xl", target)).lstrip("/")
