"""The sheet of parts: from the quantity needed to the amount paid, line by line."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.money import ZERO
from estimator.pricing.records import Delivery, PriceLine

TITLE = "Parts"
WIDTHS = (5, 42, 10, 7, 18, 15, 8, 8, 9, 9, 12, 13, 17, 17)
SERVED = {"stock": "from stock", "kit": "in the kit"}
SUPPLIER_HEADS = (
    "", "Supplier", "", "", "Goods", "", "", "", "", "", "Free from", "Delivery", "Delivery fee",
    "",
)  # fmt: skip
# Rows from the total to the first row of the suppliers: itself, a gap, heading and head.
_TO_SUPPLIERS = 4
HEADS = (
    "No.", "Part", "Needed", "Unit", "Supplier", "Item", "Pack holds", "Packs", "Bought",
    "Left over", "Unit price", "Amount", "Price", "Kind of cost",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PartsCells:
    """References: the sum of amounts, the range that says how each line is priced.

    first_row: of the lines; the rows of deliveries follow the last line.
    """

    amount: str
    prices: str
    first_row: int


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
    parts_last = max(page.row - 1, first)
    _write_deliveries(page, price.deliveries)
    last = max(page.row - 1, first)
    for column in range(1, len(HEADS) + 1):
        page.text(column, "Parts in all" if column == 2 else "", "Total label")
    amounts = sum((line.amount for line in price.lines if line.amount is not None), ZERO)
    amounts += sum((each.fee for each in price.deliveries), ZERO)
    total = page.formula(12, f"=SUM(L{first}:L{last})", amounts, "Total money")
    unpriced_lines = sum(1 for line in price.lines if line.amount is None)
    page.formula(
        13,
        f'=COUNTIF(M{first}:M{last},"unpriced")&" unpriced"',
        f"{unpriced_lines} unpriced",
        "Total label",
    )
    page.row += 1
    if price.deliveries:
        _write_suppliers(page, price.deliveries, first, parts_last)
    page.finish(head_row=head_row)
    return PartsCells(page.absolute(total), page.absolute(f"M{first}:M{last}"), first)


def _write_line(page: Page, line: PriceLine, *, by_use: bool, again: bool) -> None:
    row = page.row
    page.number(1, line.part + 1, "Whole")
    page.text(2, f"and for the same: {line.item_description}" if again else line.description)
    page.number(3, line.quantity_needed, "Input quantity")
    page.text(4, line.unit)
    page.text(5, line.supplier)
    page.text(6, line.item)
    page.text(14, line.cost_code.replace("_", " "), "Code")
    if line.match in SERVED:
        _write_served(page, line)
        return
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


def _write_deliveries(page: Page, deliveries: Sequence[Delivery]) -> None:
    """A row for each supplier that asks for delivery; its amount stands in the table below."""
    for each in deliveries:
        for column in (1, 3, 4, 5, 6, 7, 8, 9, 10, 11):
            page.text(column, "", "Text")
        page.text(2, f"Delivery by {each.supplier}")
        due = page.row + len(deliveries) + _TO_SUPPLIERS
        page.formula(12, f"=L{due}", each.fee, "Money")
        page.text(13, "delivery", "Code")
        page.text(14, "", "Code")
        page.row += 1


def _write_suppliers(page: Page, deliveries: Sequence[Delivery], first: int, last: int) -> None:
    """What is bought from each supplier that asks for delivery, and whether it is due."""
    page.gap()
    page.heading("Delivery by supplier")
    page.head(SUPPLIER_HEADS)
    for each in deliveries:
        row = page.row
        page.text(2, each.supplier)
        goods = (
            f"=SUMPRODUCT(($E${first}:$E${last}=B{row})*1,$I${first}:$I${last},"
            f"$K${first}:$K${last})"
        )
        page.formula(5, goods, each.goods, "Money")
        page.number(11, each.free_from, "Input money")
        due = f"=IF(E{row}=0,0,IF(AND(ISNUMBER(K{row}),ROUND(E{row},6)>=K{row}),0,ROUND(M{row},2)))"
        page.formula(12, due, each.fee, "Money")
        page.number(13, each.terms_fee, "Input money")
        page.row += 1


def _write_served(page: Page, line: PriceLine) -> None:
    """Cells of a line that costs nothing: what is at hand, or in a kit on a line of its own."""
    for column in (7, 8, 9, 10, 11):
        page.text(column, "", "Text")
    page.number(3, line.quantity_needed, "Quantity")
    page.number(12, ZERO, "Money")
    page.text(13, SERVED[line.match], "Code")


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
