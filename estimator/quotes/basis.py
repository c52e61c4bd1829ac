"""Versions of what every estimate rests on, and the basis of a revision as JSON."""

import hashlib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any

from estimator.quotes.records import Basis, Used

_ROOMS = ("published", "job", "sizing", "takeoff", "catalogue", "credits", "compare")
_DATA = (".csv", ".toml")


@cache
def table_versions() -> tuple[tuple[str, str], ...]:
    """SHA-256 over the tables and rules of each room, by room; read once in a process."""
    return tuple((room, _digest(resources.files("estimator") / room)) for room in _ROOMS)


def _digest(folder: Traversable) -> str:
    digest = hashlib.sha256()
    for path, file in sorted(_data_files(folder, "")):
        content = file.read_bytes()
        digest.update(f"{path}\0{len(content)}\0".encode())
        digest.update(content)
    return digest.hexdigest()


def _data_files(folder: Traversable, path: str) -> Iterator[tuple[str, Traversable]]:
    for entry in folder.iterdir():
        name = f"{path}/{entry.name}"
        if entry.is_dir():
            yield from _data_files(entry, name)
        elif entry.name.endswith(_DATA):
            yield name, entry


def basis_document(basis: Basis) -> dict[str, Any]:
    """The basis as JSON-ready objects."""
    return {
        "program": basis.program,
        "tables": dict(basis.tables),
        "catalogues": [_used(each) for each in basis.catalogues],
        "labour_table": basis.labour_table and _used(basis.labour_table),
        "rate_sheet": basis.rate_sheet and _used(basis.rate_sheet),
        "programmes": [_used(each) for each in basis.programmes],
        "job": basis.job and _used(basis.job),
    }


def read_basis(document: Mapping[str, Any]) -> Basis:
    """The basis from its JSON. Raises KeyError for a document that is none."""
    return Basis(
        program=document["program"],
        tables=tuple(document["tables"].items()),
        catalogues=tuple(Used(**each) for each in document["catalogues"]),
        labour_table=_read_used(document["labour_table"]),
        rate_sheet=_read_used(document["rate_sheet"]),
        programmes=tuple(Used(**each) for each in document["programmes"]),
        job=_read_used(document["job"]),
    )


def _read_used(document: Mapping[str, Any] | None) -> Used | None:
    return None if document is None else Used(**document)


def _used(used: Used) -> dict[str, Any]:
    return {"id": used.id, "name": used.name, "version": used.version, "digest": used.digest}
