"""The discount shared out by formulas: whole cents, largest remainders first."""

from decimal import Decimal

from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_sheets.price_groups import GroupRows
from estimator.money import HUNDRED, ZERO
from estimator.pricing.records import GroupPrice

HEADS = (
    "Discount shared out", "Before discount", "Whole cents", "Remainder", "Place", "Share",
)  # fmt: skip


def write_discount(
    page: Page, groups: tuple[GroupPrice, ...], rows: GroupRows, discount: Decimal
) -> None:
    """Write the sharing below the groups and refer to it in their discount column.

    Shares are in proportion to the price before discount, rounded down to the cent; cents
    still missing go one each to the largest remainders, earlier groups first. No more than
    the whole price is given away.
    """
    page.head(HEADS)
    first, last = page.row, page.row + len(groups) - 1
    sum_row = last + 1
    before = [group.net + group.discount for group in groups]
    whole = sum(before, ZERO)
    given = max(ZERO, min(discount, whole))
    cents = [int(amount * HUNDRED) for amount in before]
    parts = [divmod(int(given * HUNDRED) * each, int(whole * HUNDRED) or 1) for each in cents]
    capped, in_all = f"$F${sum_row}", f"ROUND($B${sum_row}*100,0)"
    for number, group in enumerate(groups):
        row, source = page.row, rows.first + number
        remainder = parts[number][1]
        place = 1 + sum(
            other > remainder or (other == remainder and at < number)
            for at, (_, other) in enumerate(parts)
        )
        page.formula(1, f"=A{source}", group.group, "Label")
        sum_of_steps = f"=B{source}+C{source}+D{source}+F{source}"
        page.formula(2, sum_of_steps, before[number], "Money")
        product = f"ROUND({capped}*100,0)*ROUND(B{row}*100,0)"
        page.formula(3, f"=IF({in_all}=0,0,INT({product}/{in_all}))", parts[number][0], "Whole")
        page.formula(4, f"=IF({in_all}=0,0,MOD({product},{in_all}))", remainder, "Whole")
        earlier = f"+COUNTIF(D${first}:D{row - 1},D{row})" if number else ""
        page.formula(5, f'=1+COUNTIF(D${first}:D${last},">"&D{row}){earlier}', place, "Whole")
        missing = f"ROUND({capped}*100,0)-$C${sum_row}"
        page.formula(6, f"=(C{row}+IF(E{row}<={missing},1,0))/100", group.discount, "Money")
        page.formula(7, f"=F{row}", group.discount, "Money", row=source)
        page.row += 1
    page.text(1, "In all, at most the price", "Total label")
    page.formula(2, f"=SUM(B{first}:B{last})", whole, "Total money")
    page.formula(3, f"=SUM(C{first}:C{last})", sum(share for share, _ in parts), "Total whole")
    for column in (4, 5):
        page.text(column, "", "Total label")
    page.formula(6, f"=MAX(0,MIN(ROUND(discount,2),B{sum_row}))", given, "Total money")
    page.row += 1
