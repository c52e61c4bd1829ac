"""The rows of the price: one group each, from cost to net and sales tax."""

from collections.abc import Mapping
from dataclasses import dataclass

from estimator.documents.workbook_sheets.page import Page
from estimator.job.records import Group, Job
from estimator.pricing.records import GroupPrice

HEADS = (
    "Group", "Cost", "Overhead", "Contingency", "Profit added", "Profit", "Discount", "Net",
    "Taxed", "Sales tax", "With tax",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class GroupRows:
    """Where the groups stand."""

    first: int
    last: int


def write_groups(
    page: Page, groups: tuple[GroupPrice, ...], job: Job, costs: Mapping[Group, str]
) -> GroupRows:
    """Write a row for each group; the discount column is left to be filled.

    costs: the formula of each group's cost, without the equals sign.
    """
    first = page.row
    for group in groups:
        row = page.row
        page.text(1, group.group, "Label")
        page.formula(2, f"={costs[group.group]}", group.cost, "Money")
        _write_additions(page, group, job)
        page.formula(8, f"=B{row}+C{row}+D{row}+F{row}-G{row}", group.net, "Money")
        page.text(9, "yes" if group.taxable else "no", "Input choice")
        tax = f'=IF(I{row}="yes",ROUND(H{row}*sales_tax_percent/100,2),0)'
        page.formula(10, tax, group.sales_tax, "Money")
        page.formula(11, f"=H{row}+J{row}", group.net + group.sales_tax, "Money")
        page.row += 1
    return GroupRows(first, page.row - 1)


def _write_additions(page: Page, group: GroupPrice, job: Job) -> None:
    """Overhead, contingency and profit; the permit fee is passed on without any."""
    row = page.row
    page.text(5, "yes" if _adds_profit(group.group, job) else "no", "Input choice")
    if group.group == "permit":
        page.number(3, group.overhead, "Money")
        page.number(4, group.contingency, "Money")
    else:
        page.formula(3, f"=ROUND(B{row}*overhead_percent/100,2)", group.overhead, "Money")
        contingency = f"=ROUND((B{row}+C{row})*contingency_percent/100,2)"
        page.formula(4, contingency, group.contingency, "Money")
    profit = (
        f'=IF(E{row}="yes",ROUND((B{row}+C{row}+D{row})*'
        "IF(AND(ISNUMBER(margin_percent),margin_percent<100),"
        "margin_percent/(100-margin_percent),N(markup_percent)/100),2),0)"
    )
    page.formula(6, profit, group.profit, "Money")


def _adds_profit(group: Group, job: Job) -> bool:
    """Materials always; labour when it is priced from a wage: a charged rate contains profit."""
    if group == "labour":
        labour = job.labour
        return labour.skill != "own" and labour.hourly_rate is None and labour.wage is not None
    return group == "materials"
