"""Each package of the lock with version, digests and licence.

``python -m tests.hostile.locked_packages`` prints them. Known weaknesses are not looked up: every
list of them is a service on the network, which neither the tests nor this command ask.
"""

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from importlib.metadata import PackageMetadata, PackageNotFoundError, metadata, version
from pathlib import Path

from packaging.markers import Marker

LOCK = Path(__file__).parents[2] / ".ci" / "requirements.lock"
_LINE = re.compile(r"([A-Za-z0-9_.-]+)(?:\[[^\]]*\])?==([^ ;\\]+)(?: ; (.+?))?\s+--hash")
_DIGEST = re.compile(r"--hash=sha256:[0-9a-f]{64}\b")


@dataclass(frozen=True)
class Locked:
    """installed: the version that is here; empty where a marker leaves the package out."""

    name: str
    version: str
    marker: str
    digests: int
    installed: str
    licence: str


def locked() -> Iterator[Locked]:
    """Every package, in the order of the lock. Raises ValueError for a line of another shape."""
    whole = LOCK.read_text("utf-8").replace("\\\n", " ")
    for line in whole.splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        found = _LINE.match(line)
        if found is None:
            raise ValueError(f"not a pinned package: {line[:80]}")
        name, marker = found[1], found[3] or ""
        here = licence = ""
        # Of some packages other systems, or other versions of Python, have another version.
        if not marker or Marker(marker).evaluate():
            with suppress(PackageNotFoundError):
                here, licence = version(name), _licence(metadata(name))
        digests = len(_DIGEST.findall(line))
        yield Locked(name, found[2], marker, digests, here, licence)


def _licence(told: PackageMetadata) -> str:
    """As the package tells it: by expression, by classifier, in words, or only as a file."""
    classifiers = [
        each.rpartition("::")[2].strip()
        for each in told.get_all("Classifier") or ()
        if each.startswith("License ::")
    ]
    words = (told.get("License") or "").strip().splitlines()
    file = told.get_all("License-File")
    for each in (told.get("License-Expression"), "; ".join(classifiers), *words[:1]):
        if each:
            return each
    return f"see its file {file[0]}" if file else ""


def main() -> None:
    """Print a table."""
    for each in locked():
        here = each.installed or f"not here ({each.marker})"
        print(f"{each.name:32} {each.version:14} {here:14} {each.digests:3}  {each.licence}")


if __name__ == "__main__":
    main()
