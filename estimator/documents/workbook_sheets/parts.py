"""The sheet of parts: from the quantity needed to the amount paid, line by line."""

from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.money import ZERO
from estimator.pricing.records import PriceLine

TITLE = "Parts"
WIDTHS = (5, 42, 10, 7, 18, 15, 8, 8, 9, 9, 12, 13, 17, 17)
HEADS = (
    "No.", "Part", "Needed", "Unit", "Supplier", "Item", "Pack holds", "Packs", "Bought",
    "Left over", "Unit price", "Amount", "Price", "Kind of cost",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PartsCells:
    """References: the sum of amounts, the range that says how each line is priced."""

    amount: str
    prices: str


def write_parts(page: Page, estimate: FullEstimate) -> PartsCells:
    """Fill the sheet; unpriced parts stay in it and take a price that the reader types."""
    price = estimate.price
    by_use = estimate.job.terms.price_by == "use"
    page.heading("Parts to buy", "Sheet title")
    page.paragraph(
        "Yellow cells may be changed; amounts and the price follow. "
        + (
            "Priced by use: needed quantity times unit price."
            if by_use
            else "Priced by purchase: whole packs times units in a pack times unit price."
        )
        + " Each amount is rounded half up to the cent."
    )
    head_row = page.head(HEADS)
    first = page.row
    part = -1
    for line in price.lines:
        _write_line(page, line, by_use=by_use, again=line.part == part)
        part = line.part
        page.row += 1
    last = max(page.row - 1, first)
    for column in range(1, len(HEADS) + 1):
        page.text(column, "Parts in all" if column == 2 else "", "Total label")
    amounts = sum((line.amount for line in price.lines if line.amount is not None), ZERO)
    total = page.formula(12, f"=SUM(L{first}:L{last})", amounts, "Total money")
    unpriced_lines = sum(1 for line in price.lines if line.amount is None)
    page.formula(
        13,
        f'=COUNTIF(M{first}:M{last},"unpriced")&" unpriced"',
        f"{unpriced_lines} unpriced",
        "Total label",
    )
    page.row += 1
    page.finish(head_row=head_row)
    return PartsCells(page.absolute(total), page.absolute(f"M{first}:M{last}"))


def _write_line(page: Page, line: PriceLine, *, by_use: bool, again: bool) -> None:
    row = page.row
    page.number(1, line.part + 1, "Whole")
    page.text(2, f"and for the same: {line.item_description}" if again else line.description)
    page.number(3, line.quantity_needed, "Input quantity")
    page.text(4, line.unit)
    page.text(5, line.supplier)
    page.text(6, line.item)
    page.text(14, line.cost_code.replace("_", " "), "Code")
    if line.unit_price is None or line.pack is None:
        _write_unpriced(page, row)
        return
    page.number(7, line.pack, "Quantity")
    planned = _write_packs(page, line, line.pack)
    page.formula(9, f"=H{row}*G{row}", line.quantity_bought, "Quantity")
    page.formula(10, f"=I{row}-C{row}", line.leftover, "Quantity")
    page.number(11, line.unit_price, "Input unit price")
    amount = f"=ROUND(C{row}*K{row},2)" if by_use else f"=ROUND(H{row}*G{row}*K{row},2)"
    page.formula(12, amount, line.amount or ZERO, "Money")
    page.text(13, f"{line.match}{planned}", "Code")


def _write_unpriced(page: Page, row: int) -> None:
    for column in (7, 8, 9, 10):
        page.text(column, "", "Text")
    page.number(11, None, "Input unit price")
    page.formula(12, f'=IF(ISNUMBER(K{row}),ROUND(C{row}*K{row},2),"")', "", "Money")
    page.formula(13, f'=IF(ISNUMBER(K{row}),"typed here","unpriced")', "unpriced", "Unpriced")


def _write_packs(page: Page, line: PriceLine, pack: Decimal) -> str:
    """Packs as a formula where it gives those of the plan; returns a mark where it does not.

    Pieces that must each be whole may need more packs than their sum does; nothing in the
    sheet knows the pieces, so such packs are a number that the reader may change.
    """
    row = page.row
    # As the spreadsheet will divide, in binary.
    if ceil(float(line.quantity_needed) / float(pack)) == line.packs:
        page.formula(8, f"=ROUNDUP(C{row}/G{row},0)", line.packs, "Whole")
        return ""
    page.number(8, line.packs, "Input quantity")
    return "; packs as planned by cut list"
