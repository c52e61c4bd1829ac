"""The workbook computed by a second engine, written by others: a formula library for Python."""

import io
import warnings
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from conftest import SAMPLE_DAY, sample_jobs, sample_lists
from documents_office import formula_cells, without_cached_values
from openpyxl import load_workbook

from estimator import usecases
from estimator.documents.workbook import write_workbook

CENT = Decimal("0.005")


def computed(content: bytes, folder: Path) -> dict[tuple[str, str], Any]:
    """Value of every cell by upper-case sheet and cell, computed from the formulas alone."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import formulas

        path = folder / "asked.xlsx"
        path.write_bytes(without_cached_values(content))
        solution = formulas.ExcelModel().loads(str(path)).finish().calculate()
    found = {}
    for name, ranges in solution.items():
        sheet, _, cell = str(name).rpartition("!")
        if ":" not in cell and hasattr(ranges, "value"):
            found[sheet.rpartition("]")[2].strip("'"), cell] = ranges.value[0, 0]
    return found


@pytest.mark.parametrize("name", ["six_circuit_block", "ten_circuit_flush"])
def test_every_formula_has_the_value_that_it_carries(name: str, tmp_path: Path) -> None:
    job = next(path for path in sample_jobs() if path.stem == name)
    lists = [(path.name, path.read_bytes()) for path in sample_lists()]
    estimate = usecases.estimate_files((job.name, job.read_bytes()), lists, today=SAMPLE_DAY)
    content = write_workbook(estimate)
    carried = load_workbook(io.BytesIO(content), data_only=True)

    found = computed(content, tmp_path)

    cells = formula_cells(content)
    assert len(cells) > 100
    for sheet, cell in cells:
        value, told = found[sheet.upper(), cell], carried[sheet][cell].value
        if isinstance(told, int | float):
            assert abs(Decimal(str(float(value))) - Decimal(str(told))) < CENT, (sheet, cell)
        else:
            assert str(value) == str(told or ""), (sheet, cell)
    total = carried["Price"][carried.defined_names["grand_total"].attr_text.rpartition("!")[2]]
    assert Decimal(str(total.value)) == estimate.price.total
