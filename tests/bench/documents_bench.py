"""Documents against the bare library, and against a spreadsheet program that recalculates."""

import io
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from functools import partial
from pathlib import Path

from openpyxl import Workbook, load_workbook

from estimator.documents.pdf import write_pdf
from estimator.documents.records import FullEstimate
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook_styles import add_styles
from tests.bench.measure import Work, figures, paired, peak_mib, print_row
from tests.bench.sample import sample_catalogue, sample_estimate

LINES = 10_000


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


def print_documents() -> None:
    """The rows of documents."""
    again = partial(sample_estimate, sample_catalogue())
    estimate = again()
    long = with_lines(estimate, 200)
    bare, ours = bare_workbook(long), partial(write_workbook, long)
    print_row("workbook of 200 lines / the bare library", paired(bare, ours, (1, 1), 3))
    paper = partial(write_pdf, "quote", estimate)
    print_row("quote as PDF / estimate", paired(again, paper, (5, 2), 3))
    print_recalculation(estimate, again)
    # In a process of its own, so that the peak is that of this workbook.
    print(subprocess.check_output([sys.executable, "-m", __name__], text=True).strip())


def print_long_workbook() -> None:
    """Size of a workbook of very many lines, and what it takes to write it."""
    estimate = with_lines(sample_estimate(sample_catalogue()), LINES)
    before = peak_mib()
    size = len(write_workbook(estimate))
    print(
        f"workbook of {LINES:,} lines: {size / 1e6:.1f} MB, peak {peak_mib():.0f} MiB "
        f"({before:.0f} before)"
    )


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
            times[name] = time.perf_counter() - start
    # Here ours is what is divided by: the other program is not a floor but the alternative.
    print_row("recalculated by LibreOffice / ours", figures([(times["ours"], times["office"])]))


if __name__ == "__main__":
    print_long_workbook()
