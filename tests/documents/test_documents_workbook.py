"""What the workbook shows, and what it never lets a spreadsheet do."""

import io
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal

import pytest
from documents_factory import COMPUTED_ON, make_complete_purchase, make_estimate, make_purchase
from documents_job import circuit, make_job
from documents_office import formula_cells, named_cell, without_cached_values
from openpyxl import Workbook, load_workbook
from openpyxl.cell.cell import Cell

from estimator.catalogue.records import PurchasePlan
from estimator.documents.cautions import cautions_for
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook_sheets.reasons import reasons_of
from estimator.published.sources import load_sources

INJECTIONS = (
    '=HYPERLINK("x","y")',
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    "\t=1+1",
    "\r=1+1",
    "  =1+1",
    "=cmd|' /C calc'!A0",
    "#REF!",
    "{=1+1}",
)


def _open(content: bytes, *, values: bool = False) -> Workbook:
    return load_workbook(io.BytesIO(content), data_only=values)


def _cells(content: bytes, *, values: bool = False) -> Iterator[tuple[str, Cell]]:
    for sheet in _open(content, values=values).worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.value is not None:
                    yield sheet.title, cell


def _texts(content: bytes, sheet: str) -> set[str]:
    return {str(cell.value) for title, cell in _cells(content, values=True) if title == sheet}


def test_has_a_sheet_for_each_concern_the_summary_first() -> None:
    workbook = _open(write_workbook(make_estimate()))

    assert workbook.sheetnames == [
        "Summary", "Design", "Parts", "Purchase", "Labour", "Price", "Credit", "Comparison",
        "Charts", "Findings", "Assumptions", "Reasons", "Cautions",
    ]  # fmt: skip


def test_every_formula_carries_its_value() -> None:
    content = write_workbook(make_estimate())
    values = _open(content, values=True)

    without = [
        (title, name)
        for title, name in formula_cells(content)
        if values[title][name].value is None and not _is_unpriced_amount(title, name, values)
    ]

    assert len(formula_cells(content)) > 100
    assert without == []


def _is_unpriced_amount(title: str, name: str, values: Workbook) -> bool:
    """Its value is an empty text, which the reader of the test gives back as nothing."""
    row = name.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    return title == "Parts" and name == f"L{row}" and values[title][f"M{row}"].value == "unpriced"


def test_the_recalculation_check_does_not_see_the_carried_values() -> None:
    content = write_workbook(make_estimate())

    stripped = _open(without_cached_values(content), values=True)

    cells = formula_cells(content)
    assert {stripped[title][name].value for title, name in cells} == {None}


def test_no_formula_holds_anything_that_came_from_a_text() -> None:
    job = make_job(name=INJECTIONS[0], circuits=tuple(circuit(text, 100) for text in INJECTIONS))
    plan = make_purchase()
    # In the order of the names that they stand for: suppliers are sorted by name.
    names = sorted({each.item.supplier for one in plan.purchases for each in one.bought})
    suppliers = dict(zip(names, sorted(INJECTIONS[2:]), strict=False))
    purchases = tuple(
        replace(
            one,
            part=replace(one.part, description=INJECTIONS[at]),
            bought=tuple(
                replace(
                    each,
                    item=replace(
                        each.item,
                        number=INJECTIONS[at],
                        supplier=suppliers[each.item.supplier],
                        description=INJECTIONS[at],
                    ),
                )
                for each in one.bought
            ),
        )
        for at, one in enumerate(plan.purchases)
    )
    harmless = write_workbook(make_estimate())
    estimate = make_estimate(job, PurchasePlan(purchases, True))

    content = write_workbook(estimate, title=INJECTIONS[1])

    assert formula_cells(content) == formula_cells(harmless)
    shown = {cell.value: cell for _, cell in _cells(content)}
    for text in ('=HYPERLINK("x","y")', "=1+1", "+1+1", "@SUM(A1)", "  =1+1"):
        assert shown[text].data_type == "s"
        assert shown[text].quotePrefix


def test_control_characters_and_endless_texts_still_give_a_readable_workbook() -> None:
    job = make_job(name="bell\x07 null\x00 end\ufffe" + "x" * 40_000)

    content = write_workbook(make_estimate(job), title="a\x0bb")

    longest = max(len(str(cell.value)) for _, cell in _cells(content))
    assert longest == 32767
    assert _open(content)["Summary"]["A1"].value == "ab"


def test_an_unpriced_part_stays_visible_without_an_amount() -> None:
    sheet = _open(write_workbook(make_estimate()), values=True)["Parts"]

    (row,) = [row for row in range(1, sheet.max_row + 1) if sheet[f"M{row}"].value == "unpriced"]
    assert sheet[f"B{row}"].value == "Label: source of standby power"
    assert sheet[f"C{row}"].value == 1
    assert not sheet[f"K{row}"].value
    assert not sheet[f"L{row}"].value


def test_an_incomplete_price_says_so_beside_the_total() -> None:
    content = write_workbook(make_estimate())
    values = _open(content, values=True)

    title, cell = named_cell(content, "grand_total")
    assert values[title][f"A{cell[1:]}"].value == "INCOMPLETE total: 1 unpriced"
    assert "INCOMPLETE total: 1 unpriced" in _texts(content, "Summary")


def test_a_complete_price_does_not_speak_of_incompleteness() -> None:
    content = write_workbook(make_estimate(purchase=make_complete_purchase()))

    assert "Grand total" in _texts(content, "Summary")
    assert not any("INCOMPLETE" in text for text in _texts(content, "Summary"))


def test_a_part_bought_as_two_items_takes_two_rows() -> None:
    sheet = _open(write_workbook(make_estimate()), values=True)["Parts"]

    rows = [
        row for row in range(1, sheet.max_row + 1) if sheet[f"F{row}"].value in ("S14-25", "S14-1")
    ]
    assert [sheet[f"C{row}"].value for row in rows] == [25, 3]
    assert [sheet[f"H{row}"].value for row in rows] == [1, 3]
    assert [sheet[f"A{row}"].value for row in rows] == [5, 5]


def test_packs_are_a_formula_unless_the_cut_list_needs_more() -> None:
    sheet = _open(write_workbook(make_estimate()))["Parts"]

    packs = {sheet[f"F{row}"].value: row for row in range(4, sheet.max_row)}
    assert (
        sheet[f"H{packs['W10-25']}"].value == f"=ROUNDUP(C{packs['W10-25']}/G{packs['W10-25']},0)"
    )
    assert sheet[f"H{packs['W10W-25']}"].value == 3
    assert sheet[f"M{packs['W10W-25']}"].value == "exact; packs as planned by cut list"


def test_carried_values_are_those_of_the_price() -> None:
    price = make_estimate().price
    content = write_workbook(make_estimate())
    values = _open(content, values=True)

    for name, expected in (("grand_total", price.total), ("labour_rate", price.labour_rate)):
        title, cell = named_cell(content, name)
        assert Decimal(str(values[title][cell].value)) == expected


@pytest.mark.parametrize(
    "name",
    [
        "markup_percent", "margin_percent", "overhead_percent", "contingency_percent",
        "sales_tax_percent", "discount", "permit_fee", "labour_rate", "deposit_percent",
    ],
)  # fmt: skip
def test_inputs_have_a_name_and_are_unlocked(name: str) -> None:
    content = write_workbook(make_estimate())
    title, cell = named_cell(content, name)

    found = _open(content)[title][cell]

    assert not found.protection.locked
    assert found.style.startswith("Input")


def test_every_formula_is_locked_and_no_sheet_has_a_password() -> None:
    content = write_workbook(make_estimate())
    workbook = _open(content)

    for title, name in formula_cells(content):
        assert workbook[title][name].protection.locked, (title, name)
    for sheet in workbook.worksheets:
        assert sheet.protection.sheet
        assert not sheet.protection.password


def test_all_findings_and_assumptions_stand_in_it() -> None:
    estimate = make_estimate()
    content = write_workbook(estimate)

    findings, assumptions = _texts(content, "Findings"), _texts(content, "Assumptions")

    assert len(estimate.findings) == 3
    for finding in estimate.findings:
        assert {finding.severity, finding.code, finding.message, finding.remedy} <= findings
    for assumption in estimate.assumptions:
        assert {assumption.field, assumption.value, assumption.because} <= assumptions


def test_an_error_stands_on_the_first_sheet_too() -> None:
    summary = _texts(write_workbook(make_estimate()), "Summary")

    assert "Leg L1 carries too much. Move a circuit to the other leg." in summary


def test_all_cautions_stand_on_their_sheet_and_on_the_first() -> None:
    estimate = make_estimate()
    content = write_workbook(estimate)

    texts = {caution.text for caution in cautions_for(estimate.job)}

    assert len(texts) > 15
    assert texts <= _texts(content, "Summary")
    assert texts <= _texts(content, "Cautions")


def test_all_reasons_stand_in_it_with_their_citation() -> None:
    job = make_job(site=replace(make_job().site, code_edition="2020"))
    estimate = make_estimate(job)
    sheet = _open(write_workbook(estimate))["Reasons"]

    shown = {(row[0], row[1], row[2]) for row in sheet.iter_rows(min_row=4, values_only=True)}

    reasons = list(reasons_of(estimate))
    assert len(reasons) > 25
    for subject, reason in reasons:
        assert (subject, reason.text, load_sources()[reason.source].cite("2020")) in shown


def test_the_credit_sheet_says_that_it_is_not_tax_advice() -> None:
    texts = _texts(write_workbook(make_estimate()), "Credit")

    assert any(text.startswith("Not tax advice.") for text in texts)
    assert "26 USC 25D(d)(6)" in texts


def test_the_same_estimate_gives_the_same_bytes() -> None:
    assert write_workbook(make_estimate()) == write_workbook(make_estimate())


def test_all_times_in_the_file_are_the_day_of_the_estimate() -> None:
    content = write_workbook(make_estimate())
    properties = _open(content).properties

    assert properties.created == datetime(2025, 10, 2)  # noqa: DTZ001
    assert properties.modified == datetime(2025, 10, 2)  # noqa: DTZ001
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert {date(*entry.date_time[:3]) for entry in archive.infolist()} == {COMPUTED_ON}


def test_prints_landscape_on_the_width_of_a_page_with_the_head_repeated() -> None:
    workbook = _open(write_workbook(make_estimate()))

    for sheet in workbook.worksheets:
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.fitToWidth == 1
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.print_area
    for title in ("Parts", "Labour", "Findings", "Assumptions", "Reasons", "Cautions"):
        assert workbook[title].print_title_rows == "$3:$3"
        assert workbook[title].freeze_panes == "A4"


@pytest.mark.parametrize(
    ("currency", "form"),
    [("USD", '"$"#,##0.00'), ("CHF", '"CHF "#,##0.00'), ('";=', "#,##0.00")],
)
def test_money_is_written_in_the_currency_of_the_job(currency: str, form: str) -> None:
    job = make_job()
    job = replace(job, terms=replace(job.terms, currency=currency))
    content = write_workbook(make_estimate(job))

    title, cell = named_cell(content, "grand_total")

    assert _open(content)[title][cell].number_format.startswith(form)


def test_an_estimate_of_nothing_still_gives_a_workbook() -> None:
    estimate = replace(
        make_estimate(make_job(circuits=()), PurchasePlan((), True)),
        findings=(),
        assumptions=(),
        credits=(),
        price_lists=(),
    )

    content = write_workbook(estimate)

    assert "The job told everything; no default was used." in _texts(content, "Assumptions")
    assert "No credit programme was assessed for this job." in _texts(content, "Credit")


def test_charts_show_the_price_by_group_and_the_ways() -> None:
    sheet = _open(write_workbook(make_estimate()))["Charts"]

    charts = sheet._charts
    assert charts
    first = charts[0]
    assert first.series[0].val.numRef.f.startswith("'Charts'!$B$")
    assert len(first.series) == 1
    assert all(len(chart.series) == 3 for chart in charts[1:])
