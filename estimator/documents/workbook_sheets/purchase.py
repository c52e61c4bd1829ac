"""The sheet of the purchase: for each supplier what to order, what it costs there, to tick off."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_sheets.parts import SERVED, PartsCells
from estimator.documents.workbook_sheets.parts import TITLE as PARTS_SHEET
from estimator.money import ZERO, to_cents
from estimator.pricing.records import PriceLine

TITLE = "Purchase"
WIDTHS = (6, 20, 48, 9, 7, 11, 9, 13, 13)
HEADS = (
    "Got", "Item", "Part", "Packs", "Unit", "Pack holds", "Bought", "Unit price", "Amount",
)  # fmt: skip
_NOTES = {"proposed": "check that this is the part"}


def write_purchase(page: Page, estimate: FullEstimate, parts: PartsCells) -> None:
    """Fill the sheet; quantities and prices are those of the sheet of parts, and follow them."""
    page.heading("What to order where", "Sheet title")
    page.paragraph(
        "Quantities, packs and prices come from the sheet Parts and follow what is changed there. "
        "Amounts are before tax. Prices are those of the price lists read; ask before you order."
    )
    lines = list(enumerate(estimate.price.lines))
    suppliers = sorted({line.supplier for _, line in lines if line.packs})
    for supplier in suppliers:
        bought = [(at, line) for at, line in lines if line.packs and line.supplier == supplier]
        _write_supplier(page, estimate, supplier, bought, parts)
    _write_rest(page, estimate, "No price list has these", unpriced=True)
    _write_rest(page, estimate, "At hand, or in a kit above", unpriced=False)
    page.finish()


def _write_supplier(
    page: Page,
    estimate: FullEstimate,
    supplier: str,
    bought: Sequence[tuple[int, PriceLine]],
    parts: PartsCells,
) -> None:
    page.gap()
    page.heading(supplier)
    page.head(HEADS)
    first = page.row
    in_all = ZERO
    for at, line in bought:
        in_all += _write_line(page, line, f"{PARTS_SHEET}!", parts.first_row + at)
    _write_total_label(page, "Goods")
    page.formula(9, f"=SUM(I{first}:I{page.row - 1})", in_all, "Total money")
    page.row += 1
    for at, each in enumerate(estimate.price.deliveries):
        if each.supplier != supplier:
            continue
        # The fees stand in the rows after the lines, in the order of the deliveries.
        fee_row = parts.first_row + len(estimate.price.lines) + at
        _write_total_label(page, "Delivery")
        page.formula(9, f"={PARTS_SHEET}!L{fee_row}", each.fee, "Total money")
        page.row += 1
        _write_total_label(page, f"To pay at {supplier}, before tax")
        page.formula(9, f"=I{page.row - 2}+I{page.row - 1}", in_all + each.fee, "Total money")
        page.row += 1


def _write_line(page: Page, line: PriceLine, sheet: str, row: int) -> Decimal:
    page.number(1, None, "Input choice")
    page.text(2, line.item)
    note = _NOTES.get(line.match)
    sold_as = "" if line.item_description == line.description else line.item_description
    extra = "; ".join(text for text in (sold_as and f"sold as: {sold_as}", note) if text)
    page.text(3, f"{line.description}\n{extra}" if extra else line.description)
    page.formula(4, f"={sheet}H{row}", line.packs, "Whole")
    page.text(5, line.unit)
    page.formula(6, f"={sheet}G{row}", line.pack or 1, "Quantity")
    page.formula(7, f"={sheet}I{row}", line.quantity_bought, "Quantity")
    unit_price = line.unit_price or ZERO
    amount = to_cents(line.quantity_bought * unit_price)
    page.formula(8, f"={sheet}K{row}", unit_price, "Unit price")
    page.formula(9, f"=ROUND(G{page.row}*H{page.row},2)", amount, "Money")
    page.row += 1
    return amount


def _write_total_label(page: Page, label: str) -> None:
    for column in range(1, len(WIDTHS)):
        page.text(column, label if column == 3 else "", "Total label")


def _write_rest(page: Page, estimate: FullEstimate, title: str, *, unpriced: bool) -> None:
    lines = [
        line
        for line in estimate.price.lines
        if (line.amount is None if unpriced else line.match in SERVED)
    ]
    if not lines:
        return
    page.gap()
    page.heading(title)
    page.head(("Got", "", "Part", "", "Unit", "", "Needed", "", ""))
    for line in lines:
        page.number(1, None, "Input choice")
        page.text(3, line.description)
        page.text(5, line.unit)
        page.number(7, line.quantity_needed, "Quantity")
        page.row += 1
