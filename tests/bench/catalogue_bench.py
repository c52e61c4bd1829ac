"""Reading long price lists beside the bare libraries.

``python -m tests.bench reading``. Our side runs in a process of its own, so that
its peak memory is its own. Seconds are of the processor, which other work on the machine does
not lengthen much.
"""

import csv
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import openpyxl

sys.path.insert(0, str(Path(__file__).parents[1] / "catalogue"))

from big_files import read_apart, write_csv, write_xlsx

from tests.bench.measure import figures, print_row

CSV_ROWS = 1_000_000


def bare_csv(path: Path) -> int:
    """Rows of the file, split by the library and thrown away."""
    with path.open(encoding="utf-8", newline="") as file:
        return sum(1 for _ in csv.reader(file))


def bare_xlsx(path: Path) -> int:
    """Rows of the workbook, their values read by the library and thrown away."""
    book = openpyxl.load_workbook(path, read_only=True, data_only=True)
    rows = sum(1 for _ in book.worksheets[0].iter_rows(values_only=True))
    book.close()
    return rows


def print_reading(csv_rows: int = CSV_ROWS) -> None:
    """A row for a text and one for a workbook a tenth as long, with the peak of their memory."""
    with tempfile.TemporaryDirectory() as folder:
        text, book = Path(folder) / "long.csv", Path(folder) / "long.xlsx"
        write_csv(text, csv_rows)
        _print(f"{csv_rows:,} rows of CSV / csv.reader", text, bare_csv)
        xlsx_rows = csv_rows // 10
        write_xlsx(book, xlsx_rows)
        _print(f"{xlsx_rows:,} rows of XLSX / openpyxl", book, bare_xlsx)


def _print(title: str, path: Path, bare: Callable[[Path], int]) -> None:
    started = time.process_time()
    bare(path)
    floor = time.process_time() - started
    found = read_apart(path)
    more = (
        f"{found['items']:,.0f} items, {path.stat().st_size / 1e6:.0f} MB, peak "
        f"{found['peak_mib']:.0f} MiB ({found['base_mib']:.0f} without a list)"
    )
    print_row(title, figures([(floor, found["cpu_s"])]), more)
