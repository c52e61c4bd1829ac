"""The workbook of real estimates: every sample job with every sample price list."""

import io
from decimal import Decimal

import pytest
from conftest import SAMPLE_DAY, sample_jobs, sample_lists
from documents_office import all_recalculated, formula_cells, named_cell, needs_office, same_value
from openpyxl import Workbook, load_workbook

from estimator import usecases
from estimator.documents.records import FullEstimate
from estimator.documents.workbook import write_workbook

NONE = "no price list"
CASES = [
    (job.name, price_list)
    for job in sample_jobs()
    for price_list in [NONE, *(path.name for path in sample_lists()), "all price lists"]
]


@pytest.fixture(scope="module")
def estimates() -> dict[tuple[str, str], FullEstimate]:
    files = {path.name: (path.name, path.read_bytes()) for path in sample_lists()}
    chosen = {NONE: [], "all price lists": list(files.values())}
    chosen |= {name: [file] for name, file in files.items()}
    jobs = {path.name: (path.name, path.read_bytes()) for path in sample_jobs()}
    return {
        (job, lists): usecases.estimate_files(jobs[job], chosen[lists], today=SAMPLE_DAY)
        for job, lists in CASES
    }


@pytest.fixture(scope="module")
def workbooks(estimates: dict[tuple[str, str], FullEstimate]) -> dict[str, bytes]:
    return {f"{job} {lists}": write_workbook(one) for (job, lists), one in estimates.items()}


@pytest.fixture(scope="module")
def answers(
    workbooks: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Workbook]:
    return all_recalculated(workbooks, tmp_path_factory.mktemp("office"))


@pytest.mark.parametrize(("job", "lists"), CASES)
def test_every_amount_of_the_estimate_is_carried_by_the_workbook(
    job: str,
    lists: str,
    estimates: dict[tuple[str, str], FullEstimate],
    workbooks: dict[str, bytes],
) -> None:
    price = estimates[job, lists].price

    values = load_workbook(io.BytesIO(workbooks[f"{job} {lists}"]), data_only=True)

    rows = list(values["Parts"].iter_rows(min_row=4, max_row=3 + len(price.lines)))
    amounts = [None if not row[11].value else Decimal(str(row[11].value)) for row in rows]
    assert amounts == [line.amount for line in price.lines]
    assert [row[1].value for row in rows if row[12].value == "unpriced"] == [
        line.description for line in price.lines if line.amount is None
    ]


@needs_office
@pytest.mark.parametrize(("job", "lists"), CASES)
def test_recalculates_to_the_cent(
    job: str,
    lists: str,
    estimates: dict[tuple[str, str], FullEstimate],
    workbooks: dict[str, bytes],
    answers: dict[str, Workbook],
) -> None:
    content, answer = workbooks[f"{job} {lists}"], answers[f"{job} {lists}"]
    carried = load_workbook(io.BytesIO(content), data_only=True)

    differing = [
        (title, cell, carried[title][cell].value, answer[title][cell].value)
        for title, cell in formula_cells(content)
        if not same_value(carried[title][cell].value, answer[title][cell].value)
    ]

    assert differing == []
    title, cell = named_cell(content, "grand_total")
    total = Decimal(str(answer[title][cell].value)).quantize(Decimal("0.01"))
    assert total == estimates[job, lists].price.total
