"""Case files of the sizing tests: rows as dictionaries, with an id that names the source."""

import csv
import re
from decimal import Decimal
from pathlib import Path

FOLDER = Path(__file__).parent / "cases"
INSULATIONS = {
    "THHN": "THHN/THWN-2",
    "THWN": "THHN/THWN-2",
    "THW": "TW/THW-2",
    "XHHW-2": "XHHW-2",
}


def read_cases(name: str) -> list[dict[str, str]]:
    """Rows of a case file; ``inputs`` is split into its own keys."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        for pair in filter(None, row.get("inputs", "").split(";")):
            key, value = pair.split("=")
            row[key] = value
    return rows


def name_with_source(path: Path) -> str:
    """Id of a job worked by hand: the sections that the working cites."""
    working = "".join(line for line in path.read_text("utf-8").splitlines() if line[:1] == "#")
    sections = sorted(set(re.findall(r"\b\d{3}\.\d+(?:\([A-Z0-9]+\))*", working)))
    return f"{path.stem} (worked by hand, NFPA 70 {', '.join(sections)})"


def wire(size: str) -> str:
    """Label of a wire size written as a bare number."""
    return f"{size} kcmil" if size in {"250", "300", "350", "400", "500"} else f"{size} AWG"


def celsius(row: dict[str, str]) -> Decimal:
    """Ambient of a case in degrees Celsius."""
    if "ambient_c" in row:
        return Decimal(row["ambient_c"])
    return (Decimal(row["ambient_f"]) - 32) / Decimal("1.8")


def trade(row: dict[str, str]) -> str:
    """Readable test id: number, topic and source."""
    return f"{row['id']} {row['topic']} ({row['source']})"
