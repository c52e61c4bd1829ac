"""The sheet of the price: terms as inputs, groups step by step, total and deposit."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from openpyxl.worksheet.datavalidation import DataValidation

from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.labour import LabourCells
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_sheets.parts import PartsCells
from estimator.documents.workbook_sheets.price_discount import write_discount
from estimator.documents.workbook_sheets.price_groups import HEADS, GroupRows, write_groups
from estimator.documents.workbook_styles import Style
from estimator.job.records import Group, Terms
from estimator.money import ZERO
from estimator.pricing.records import GroupPrice, Price

TITLE = "Price"
WIDTHS = (36, 15, 13, 13, 10, 13, 13, 15, 9, 12, 15)
_SUMMED = (
    (2, "cost"), (3, "overhead"), (4, "contingency"), (6, "profit"), (7, "discount"), (8, "net"),
    (10, "sales_tax"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PriceCells:
    """References to results: net of each group, sales tax, total, its label, the deposit."""

    net_of_group: tuple[tuple[str, str], ...]
    sales_tax: str
    total: str
    label: str
    deposit: str


def complete_label(price: Price) -> str:
    """The label of the grand total: it says when the price is not complete."""
    if not price.unpriced:
        return "Grand total"
    return f"INCOMPLETE total: {price.unpriced} unpriced"


def write_price(
    page: Page, estimate: FullEstimate, parts: PartsCells, labour: LabourCells
) -> PriceCells:
    """Fill the sheet; every figure follows from the parts, the labour and the terms."""
    price = estimate.price
    terms = estimate.job.terms
    page.heading("Price", "Sheet title")
    page.paragraph(
        "Yellow cells may be changed. Every figure is rounded half up to the cent; totals add "
        "the figures shown."
    )
    page.gap()
    _write_terms(page, terms)
    page.gap()
    page.heading("From cost to price")
    page.head(HEADS)
    costs: Mapping[Group, str] = {
        "materials": parts.amount,
        "labour": labour.cost,
        "permit": "ROUND(N(permit_fee),2)",
    }
    rows = write_groups(page, price.groups, estimate.job, costs)
    _add_choices(page, rows)
    sums = page.row
    _write_sums(page, price.groups, rows)
    label, total, deposit = _write_total(page, price, parts, sums)
    page.gap()
    write_discount(page, price.groups, rows, terms.discount)
    _write_notes(page, price)
    page.finish()
    return PriceCells(
        tuple(
            (group.group, page.absolute(f"H{row}"))
            for row, group in enumerate(price.groups, start=rows.first)
        ),
        page.absolute(f"J{sums}"),
        page.absolute(total),
        page.absolute(label),
        page.absolute(deposit),
    )


def _write_terms(page: Page, terms: Terms) -> None:
    page.heading("Terms")
    inputs: tuple[tuple[str, str, Decimal | None, Style, str], ...] = (
        ("Overhead", "overhead_percent", terms.overhead_percent, "Input percent", "of cost"),
        (
            "Contingency",
            "contingency_percent",
            terms.contingency_percent,
            "Input percent",
            "of cost and overhead",
        ),
        (
            "Markup",
            "markup_percent",
            terms.markup_percent,
            "Input percent",
            "profit as a share of cost, overhead and contingency; give markup or margin, not both",
        ),
        (
            "Margin",
            "margin_percent",
            terms.margin_percent,
            "Input percent",
            "profit as a share of the price before discount; wins over the markup when filled",
        ),
        ("Discount", "discount", terms.discount, "Input money", "money off, before sales tax"),
        (
            "Sales tax",
            "sales_tax_percent",
            terms.sales_tax_percent,
            "Input percent",
            "of the net of groups marked yes",
        ),
        ("Permit fee", "permit_fee", terms.permit_fee, "Input money", "empty: not known"),
        (
            "Deposit",
            "deposit_percent",
            terms.deposit_percent,
            "Input percent",
            "of the total, when the order is given",
        ),
    )
    for label, name, value, style, meaning in inputs:
        page.text(1, label, "Label")
        page.name(name, page.number(2, value, style))
        page.text(3, meaning, "Hint")
        page.row += 1
    _allow_only_numbers(page, f"B{page.row - len(inputs)}:B{page.row - 1}")


def _allow_only_numbers(page: Page, cells: str) -> None:
    numbers = DataValidation(
        type="decimal", operator="greaterThanOrEqual", formula1="0", allow_blank=True
    )
    numbers.error = "A number, not below zero; percentages without the percent sign."
    numbers.showErrorMessage = True
    numbers.add(cells)
    page.sheet.add_data_validation(numbers)


def _add_choices(page: Page, rows: GroupRows) -> None:
    choice = DataValidation(type="list", formula1='"yes,no"', allow_blank=False)
    choice.error = "Write yes or no."
    choice.showErrorMessage = True
    choice.add(f"E{rows.first}:E{rows.last}")
    choice.add(f"I{rows.first}:I{rows.last}")
    page.sheet.add_data_validation(choice)


def _write_sums(page: Page, groups: tuple[GroupPrice, ...], rows: GroupRows) -> None:
    page.text(1, "All groups", "Total label")
    page.text(5, "", "Total label")
    page.text(9, "", "Total label")
    for column, field in _SUMMED:
        _write_sum(page, column, rows, sum((getattr(group, field) for group in groups), ZERO))
    tax = sum((group.sales_tax for group in groups), ZERO)
    _write_sum(page, 11, rows, sum((group.net for group in groups), tax))
    page.row += 1


def _write_sum(page: Page, column: int, rows: GroupRows, value: Decimal) -> None:
    letter = "ABCDEFGHIJK"[column - 1]
    page.formula(column, f"=SUM({letter}{rows.first}:{letter}{rows.last})", value, "Total money")


def _write_total(page: Page, price: Price, parts: PartsCells, sums: int) -> tuple[str, str, str]:
    page.gap()
    count = f'COUNTIF({parts.prices},"unpriced")'
    label = page.formula(
        1,
        f'=IF({count}=0,"Grand total","INCOMPLETE total: "&{count}&" unpriced")',
        complete_label(price),
        "Grand label",
    )
    total = page.formula(2, f"=K{sums}", price.total, "Grand money")
    page.name("grand_total", total)
    page.row += 1
    page.text(1, "Deposit", "Label")
    deposit = page.formula(2, "=ROUND(grand_total*deposit_percent/100,2)", price.deposit, "Money")
    page.row += 1
    return label, total, deposit


def _write_notes(page: Page, price: Price) -> None:
    page.gap()
    if not price.complete:
        page.paragraph(
            f"INCOMPLETE: {price.unpriced} unpriced. The total leaves those parts out and is too "
            "low until they have a price on the sheet Parts.",
            "Alert",
        )
    page.paragraph(
        "Profit is added to materials always, to labour only where it is priced from a wage (a "
        "charged hourly rate contains it), never to the permit fee, which also bears no overhead "
        "and no contingency."
    )
