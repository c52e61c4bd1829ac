"""Price lists of any length as files, and reading them in a process of its own. All invented."""

import csv
import json
import resource
import subprocess
import sys
import time
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

ROOT = Path(__file__).parents[2]
_SAMPLE = ROOT / "catalog_samples" / "price_lists" / "north_counter.csv"


def head_and_rows(count: int) -> Iterator[list[str]]:
    """The head of a sample list, then its rows again and again under other numbers and prices."""
    with _SAMPLE.open(encoding="utf-8", newline="") as file:
        head, *sample = csv.reader(file)
    number, price = head.index("item number"), head.index("price")
    yield head
    for place in range(count):
        row = list(sample[place % len(sample)])
        row[number] = f"B{place:07}"
        row[price] = str(Decimal(row[price]) + Decimal(place % 997) / 100)
        yield row


def write_csv(path: Path, count: int) -> None:
    """A list of ``count`` rows as CSV."""
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(head_and_rows(count))


def write_xlsx(path: Path, count: int) -> None:
    """The same as a workbook, its prices as numbers."""
    import openpyxl

    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("Prices")
    rows = head_and_rows(count)
    head = next(rows)
    sheet.append(head)
    price = head.index("price")
    for row in rows:
        sheet.append([float(cell) if at == price else cell for at, cell in enumerate(row)])
    book.save(path)


def read_apart(path: Path) -> dict[str, float]:
    """A list read in a process of its own: items, cpu_s, base_mib and peak_mib of its memory.

    base_mib: with all modules and tables loaded, before the file is opened. Items are not kept
    where the file is a text, as when they are stored.
    """
    words = [sys.executable, __file__, str(path)]
    done = subprocess.run(words, capture_output=True, check=True, cwd=ROOT)
    found: dict[str, float] = json.loads(done.stdout)
    return found


def _read(path: Path) -> dict[str, float]:
    from estimator.catalogue.files.limits import IMPORT_LIMITS
    from estimator.catalogue.read_price_list import open_price_list, read_price_list
    from estimator.takeoff.part_kinds import load_part_kinds

    kinds = load_part_kinds()
    read_price_list(_SAMPLE.read_bytes(), _SAMPLE.name, kinds)
    base, started = _peak_mib(), time.process_time()
    if path.suffix == ".csv":
        with path.open("rb") as file:
            reading = open_price_list(file, path.name, kinds, limits=IMPORT_LIMITS)
            items = sum(row.item is not None for row in reading.rows())
    else:
        items = len(read_price_list(path.read_bytes(), path.name, kinds).items)
    cpu = time.process_time() - started
    return {"items": items, "cpu_s": cpu, "base_mib": base, "peak_mib": _peak_mib()}


def _peak_mib() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    print(json.dumps(_read(Path(sys.argv[1]))))
