"""The workbook calculates by itself what the estimate says: asked of LibreOffice."""

import io
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest
from documents_factory import make_complete_purchase, make_estimate
from documents_job import make_job
from documents_office import (
    all_recalculated,
    formula_cells,
    named_cell,
    needs_office,
    recalculated,
    same_value,
    with_input,
)
from openpyxl import Workbook, load_workbook

from estimator.documents.workbook import write_workbook
from estimator.job.records import Job

pytestmark = needs_office
CENT = Decimal("0.01")


def _cents(value: object) -> Decimal:
    assert isinstance(value, int | float), value
    return Decimal(str(value)).quantize(CENT)


def _with_terms(**changes: object) -> Job:
    job = make_job()
    return replace(job, terms=replace(job.terms, **changes))


def _with_labour(**changes: object) -> Job:
    job = make_job()
    return replace(job, labour=replace(job.labour, **changes))


JOBS: dict[str, Job] = {
    "markup": make_job(),
    "margin": _with_terms(markup_percent=None, margin_percent=Decimal("18.5")),
    "neither markup nor margin": _with_terms(markup_percent=None),
    "price by use": _with_terms(price_by="use"),
    "everything taxed": _with_terms(taxable=("materials", "labour", "permit")),
    "permit fee not known": _with_terms(permit_fee=None),
    "discount": _with_terms(discount=Decimal("100.00")),
    "discount of one cent": _with_terms(discount=Decimal("0.01")),
    "discount above the price": _with_terms(discount=Decimal("99999.99")),
    "priced from a wage": _with_labour(
        hourly_rate=None, wage=Decimal("34.15"), burden_percent=Decimal("35.5")
    ),
    "own work": _with_labour(skill="own"),
}


@pytest.fixture(scope="module")
def workbooks() -> dict[str, bytes]:
    return {name: write_workbook(make_estimate(job)) for name, job in JOBS.items()}


@pytest.fixture(scope="module")
def answers(
    workbooks: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Workbook]:
    return all_recalculated(workbooks, tmp_path_factory.mktemp("office"))


@pytest.mark.parametrize("name", JOBS)
def test_recalculates_every_formula_to_the_value_it_carries(
    name: str, workbooks: dict[str, bytes], answers: dict[str, Workbook]
) -> None:
    content = workbooks[name]
    carried = load_workbook(io.BytesIO(content), data_only=True)

    cells = formula_cells(content)
    differing = [
        (title, cell, carried[title][cell].value, answers[name][title][cell].value)
        for title, cell in cells
        if not same_value(carried[title][cell].value, answers[name][title][cell].value)
    ]

    assert len(cells) > 100
    assert differing == []
    assert _grand_total(content, answers[name]) == make_estimate(JOBS[name]).price.total


def _grand_total(content: bytes, answer: Workbook) -> Decimal:
    title, cell = named_cell(content, "grand_total")
    return _cents(answer[title][cell].value)


def _total_by_hand(
    materials: str, labour: str, *, markup: str = "0.25", margin: str | None = None
) -> Decimal:
    """The total of the invented job: a charged rate bears no profit, only materials are taxed."""
    costs = Decimal(materials), Decimal(labour)
    overheads = [(cost * Decimal("0.10")).quantize(CENT, ROUND_HALF_UP) for cost in costs]
    loaded = [cost + overhead for cost, overhead in zip(costs, overheads, strict=True)]
    before = [one + (one * Decimal("0.05")).quantize(CENT, ROUND_HALF_UP) for one in loaded]
    share = Decimal(margin) / (1 - Decimal(margin)) if margin else Decimal(markup)
    materials_net = before[0] + (before[0] * share).quantize(CENT, ROUND_HALF_UP)
    tax = (materials_net * Decimal("0.0725")).quantize(CENT, ROUND_HALF_UP)
    return materials_net + tax + before[1] + Decimal("85.00")


# 289.99 + 57.40 + 30.63 + 17.87 + 5.39 + 1.08 + 13.75 + 45.94; 6.08 hours at 95.
MATERIALS, LABOUR = "462.05", "577.60"


def test_the_invented_estimate_is_what_its_lines_add_up_to_by_hand(tmp_path: Path) -> None:
    content = write_workbook(make_estimate(purchase=make_complete_purchase()))

    answer = recalculated(content, tmp_path)

    assert _grand_total(content, answer) == _total_by_hand(MATERIALS, LABOUR)


def test_a_changed_unit_price_flows_to_the_grand_total(tmp_path: Path) -> None:
    content = write_workbook(make_estimate(purchase=make_complete_purchase()))
    row = _row_of(content, "SW-6")

    typed = with_input(content, {("Parts", f"K{row}"): Decimal("310.5000")})
    answer = recalculated(typed, tmp_path)

    estimated_anew = make_estimate(purchase=make_complete_purchase(SW_6="310.5000"))
    assert _grand_total(content, answer) == estimated_anew.price.total
    assert _grand_total(content, answer) == _total_by_hand("482.56", LABOUR)


def test_a_changed_quantity_changes_packs_and_the_grand_total(tmp_path: Path) -> None:
    content = write_workbook(make_estimate(purchase=make_complete_purchase()))
    row = _row_of(content, "C34-10")

    answer = recalculated(with_input(content, {("Parts", f"C{row}"): Decimal(31)}), tmp_path)

    assert answer["Parts"][f"H{row}"].value == 4
    assert _grand_total(content, answer) == _total_by_hand("479.92", LABOUR)


def test_a_changed_markup_flows_to_the_grand_total(tmp_path: Path) -> None:
    content = write_workbook(make_estimate(purchase=make_complete_purchase()))

    typed = with_input(content, {named_cell(content, "markup_percent"): Decimal(40)})
    answer = recalculated(typed, tmp_path)

    assert _grand_total(content, answer) == _total_by_hand(MATERIALS, LABOUR, markup="0.40")


def test_a_margin_typed_in_takes_the_place_of_the_markup(tmp_path: Path) -> None:
    content = write_workbook(make_estimate(purchase=make_complete_purchase()))

    typed = with_input(content, {named_cell(content, "margin_percent"): Decimal(20)})
    answer = recalculated(typed, tmp_path)

    assert _grand_total(content, answer) == _total_by_hand(MATERIALS, LABOUR, margin="0.20")


def test_discounts_typed_in_are_shared_out_as_the_estimate_would(tmp_path: Path) -> None:
    job = _with_terms(taxable=("materials", "labour"))
    content = write_workbook(make_estimate(job))
    cell = named_cell(content, "discount")
    first = _row_of(content, "materials", sheet="Price", column="A")
    discounts = ("0.01", "0.02", "33.33", "100.00", "1234.56", "99999.99")

    computed = all_recalculated(
        {text: with_input(content, {cell: Decimal(text)}) for text in discounts}, tmp_path
    )

    for text in discounts:
        terms = replace(job.terms, discount=Decimal(text))
        expected = make_estimate(replace(job, terms=terms)).price
        shares = [_cents(computed[text]["Price"][f"G{first + at}"].value) for at in range(3)]
        assert shares == [group.discount for group in expected.groups]
        assert _grand_total(content, computed[text]) == expected.total


def test_a_price_typed_for_the_unpriced_part_completes_the_total(tmp_path: Path) -> None:
    content = write_workbook(make_estimate())
    row = _row_of(content, "Label: source of standby power", column="B")

    typed = with_input(content, {("Parts", f"K{row}"): Decimal("4.25")})
    answer = recalculated(typed, tmp_path)

    assert _grand_total(content, answer) == _total_by_hand("466.30", LABOUR)
    title, cell = named_cell(content, "grand_total")
    assert answer[title][f"A{cell[1:]}"].value == "Grand total"


def _row_of(content: bytes, text: str, *, sheet: str = "Parts", column: str = "F") -> int:
    cells = load_workbook(io.BytesIO(content))[sheet]
    return next(row for row in range(1, cells.max_row + 1) if cells[f"{column}{row}"].value == text)
