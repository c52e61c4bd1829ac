"""The list of publications behind every figure: key -> document, edition, section, status."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources
from typing import Literal, get_args

Status = Literal["seen", "recomputed", "derived", "memory", "common_practice", "invented"]
_FIELDS = {"document", "edition", "section", "checked_on", "status", "note"}
_MOVED = re.compile(r"section_(\d{4})")
_REQUIRED = {"document", "checked_on", "status"}


class SourcesError(Exception):
    """sources.toml is broken; the message lists every fault."""


@dataclass(frozen=True, slots=True)
class Source:
    """A publication, as precise as we can cite it.

    sections: the section by edition where its number is not that of ``section``.
    status: how the figure was checked; "memory" and "common_practice" keep doubt visible.
    """

    key: str
    document: str
    edition: str
    section: str
    sections: Mapping[str, str]
    checked_on: date
    status: Status
    note: str

    def cite(self, code_edition: str = "2023") -> str:
        """The citation as one line of text for the given code edition."""
        section = self.section
        edition = self.edition
        if self.document == "NFPA 70":
            edition = code_edition
            section = self.sections.get(code_edition, section)
        words = [self.document + (f" ({edition})" if edition else ""), section]
        text = ", ".join(word for word in words if word)
        return f"{text} [from memory, not checked]" if self.status == "memory" else text


def parse_sources(text: str, name: str = "sources.toml") -> Mapping[str, Source]:
    """Sources by key, in file order. Raises SourcesError with every fault at once."""
    faults: list[str] = []
    sources: dict[str, Source] = {}
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SourcesError(f"{name}: {error}") from error
    for key, entry in document.items():
        if not isinstance(entry, dict):
            faults.append(f"{name}, {key}: is not a table of fields")
            continue
        sections = {
            match[1]: text for field, text in entry.items() if (match := _MOVED.fullmatch(field))
        }
        unknown = sorted(
            field for field in entry if field not in _FIELDS and not _MOVED.fullmatch(field)
        )
        missing = sorted(_REQUIRED - set(entry))
        faults += [f"{name}, {key}: unknown field {field}" for field in unknown]
        faults += [f"{name}, {key}: field {field} is missing" for field in missing]
        faults += [
            f"{name}, {key}: field {field} must be text"
            for field in entry
            if field not in unknown and field != "checked_on" and not isinstance(entry[field], str)
        ]
        if "checked_on" in entry and not isinstance(entry["checked_on"], date):
            faults.append(f"{name}, {key}: checked_on must be a date")
        if "status" in entry and entry["status"] not in get_args(Status):
            faults.append(
                f"{name}, {key}: status {entry['status']!r} is not one of "
                + ", ".join(get_args(Status))
            )
        if faults:
            continue
        sources[key] = Source(
            key=key,
            document=entry["document"],
            edition=entry.get("edition", ""),
            section=entry.get("section", ""),
            sections=sections,
            checked_on=entry["checked_on"],
            status=entry["status"],
            note=entry.get("note", ""),
        )
    if faults:
        raise SourcesError("\n".join(faults))
    return sources


@cache
def load_sources() -> Mapping[str, Source]:
    """The package's own sources.toml, read once in a process."""
    text = resources.files("estimator.published").joinpath("sources.toml").read_text("utf-8")
    return parse_sources(text)
