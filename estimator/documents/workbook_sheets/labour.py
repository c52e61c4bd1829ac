"""The sheet of labour: tasks, their hours, the rate and the cost."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_styles import Style
from estimator.money import ZERO, to_cents

TITLE = "Labour"
WIDTHS = (5, 66, 11, 14, 12, 12, 12)
HEADS = ("No.", "Task", "Quantity", "Unit", "Hours, low", "Hours", "Hours, high")


@dataclass(frozen=True, slots=True)
class LabourCells:
    """Reference to the cost of labour."""

    cost: str


def write_labour(page: Page, estimate: FullEstimate) -> LabourCells:
    """Fill the sheet: the likely hours are inputs and run through to the cost."""
    tasks = estimate.take_off.labour
    page.heading("Labour", "Sheet title")
    page.paragraph(
        "Likely hours are priced; low and high show how far they may be off. "
        "Yellow cells may be changed."
    )
    head_row = page.head(HEADS)
    first = page.row
    for number, task in enumerate(tasks, start=1):
        page.number(1, number, "Whole")
        page.text(2, task.task)
        page.number(3, task.quantity, "Quantity")
        page.text(4, task.unit)
        page.number(5, task.hours_low, "Quantity")
        page.number(6, task.hours, "Input quantity")
        page.number(7, task.hours_high, "Quantity")
        page.row += 1
    last = max(page.row - 1, first)
    _total_row(page, "Hours of all tasks")
    for column, hours in enumerate(
        (
            sum((task.hours_low for task in tasks), Decimal(0)),
            estimate.take_off.hours,
            sum((task.hours_high for task in tasks), Decimal(0)),
        ),
        start=5,
    ):
        letter = "EFG"[column - 5]
        page.formula(column, f"=SUM({letter}{first}:{letter}{last})", hours, "Total hours")
    summed = f"F{page.row}"
    page.row += 1
    _total_row(page, "Hours charged, to two places")
    charged = page.formula(6, f"=ROUND({summed},2)", estimate.price.labour_hours, "Total hours")
    page.row += 1
    _write_rate(page, estimate)
    _total_row(page, "Cost of labour")
    cost = next((group.cost for group in estimate.price.groups if group.group == "labour"), ZERO)
    cell = page.formula(6, f"=ROUND({charged}*labour_rate,2)", cost, "Total money")
    page.row += 1
    page.finish(head_row=head_row)
    return LabourCells(page.absolute(cell))


def _write_rate(page: Page, estimate: FullEstimate) -> None:
    terms = estimate.job.labour
    rate = estimate.price.labour_rate
    if terms.skill == "own" or terms.hourly_rate is not None or terms.wage is None:
        meaning = "not told, so labour is left out"
        if terms.skill == "own":
            meaning = "own work, not paid"
        elif terms.hourly_rate is not None:
            meaning = "as charged, profit included"
        page.text(2, f"Labour rate per hour ({meaning})")
        style: Style = "Input money" if rate == to_cents(rate) else "Input unit price"
        page.name("labour_rate", page.number(6, rate, style))
        page.row += 1
        return
    page.text(2, "Wage per hour")
    page.name("wage", page.number(6, terms.wage, "Input unit price"))
    page.row += 1
    page.text(2, "Burden on the wage")
    page.name("burden_percent", page.number(6, terms.burden_percent, "Input percent"))
    page.row += 1
    page.text(2, "Labour rate per hour")
    page.name(
        "labour_rate",
        page.formula(6, "=ROUND(wage*(1+burden_percent/100),4)", rate, "Unit price"),
    )
    page.row += 1


def _total_row(page: Page, label: str) -> None:
    for column in range(1, len(HEADS) + 1):
        page.text(column, label if column == 2 else "", "Total label")
