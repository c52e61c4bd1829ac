"""Documents against the bare library, and against a spreadsheet program that recalculates."""

import io
import shutil
import subprocess
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from openpyxl import Workbook, load_workbook

from estimator.documents.pdf import write_pdf
from estimator.documents.records import FullEstimate
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook_styles import add_styles

Work = Callable[[], object]


def with_lines(estimate: FullEstimate, count: int) -> FullEstimate:
    """The estimate with so many lines of materials, by repeating its own."""
    lines = estimate.price.lines
    many = (lines * (count // len(lines) + 1))[:count]
    return replace(estimate, price=replace(estimate.price, lines=many))


def bare_workbook(estimate: FullEstimate) -> Work:
    """Work that writes the same cells in the same styles with the library alone."""
    given = load_workbook(io.BytesIO(write_workbook(estimate)))
    cells = [
        (sheet.title, [(c.row, c.column, c.value, c.style) for r in sheet for c in r])
        for sheet in given.worksheets
    ]

    def write() -> None:
        workbook = Workbook()
        add_styles(workbook, estimate.price.currency)
        for title, values in cells:
            sheet = workbook.create_sheet(title)
            for row, column, value, style in values:
                cell = sheet.cell(row, column)
                cell.value = value
                cell.style = style
        workbook.save(io.BytesIO())

    return write


def print_documents(estimate: FullEstimate, again: Work, paired: Callable[..., str]) -> None:
    """The rows of documents. again: work that computes the estimate."""
    long = with_lines(estimate, 200)
    title = "workbook of 200 lines / the bare library"
    print(f"{title:44} {paired(bare_workbook(long), lambda: write_workbook(long), (1, 1), 3)}")
    title = "quote as PDF / estimate"
    print(f"{title:44} {paired(again, lambda: write_pdf('quote', estimate), (5, 2), 3)}")
    print_recalculation(estimate, again)
    tracemalloc.start()
    size = len(write_workbook(with_lines(estimate, 10_000)))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    print(f"workbook of 10,000 lines: {size / 1e6:.1f} MB, {peak / 2**20:.0f} MiB at the peak")


def print_recalculation(estimate: FullEstimate, again: Work) -> None:
    """A spreadsheet program that opens and recalculates, against computing and writing."""
    if shutil.which("soffice") is None:
        print("recalculation: left out, LibreOffice is not installed")
        return

    def ours() -> None:
        again()
        write_workbook(estimate)

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "asked.xlsx"
        path.write_bytes(write_workbook(estimate))
        command = [
            "soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless",
            "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", f"{folder}/out", str(path),
        ]  # fmt: skip
        times = {}
        for name, work in (
            ("first", lambda: subprocess.run(command, check=True, capture_output=True)),
            ("office", lambda: subprocess.run(command, check=True, capture_output=True)),
            ("ours", ours),
        ):
            start = time.perf_counter()
            work()
            times[name] = (time.perf_counter() - start) * 1e3
    print(
        f"{'recalculated by LibreOffice / ours':44} {times['ours']:9.3f} {times['office']:9.3f} "
        f"{times['office'] / times['ours']:8.2f}"
    )
