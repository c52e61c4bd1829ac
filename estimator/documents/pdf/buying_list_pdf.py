"""The buying list: what to ask each supplier for, with boxes to tick."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.documents.pdf.common import cautions
from estimator.documents.pdf.records import Sheet
from estimator.documents.pdf.typeset import typeset
from estimator.documents.pdf.words import day, money, number, unit_money
from estimator.documents.records import FullEstimate
from estimator.money import ZERO
from estimator.pricing.records import PriceLine


def buying_list_pdf(estimate: FullEstimate, sheet: Sheet) -> bytes:
    """PDF with a list for each supplier, and what no price list has."""
    price = estimate.price
    by_supplier: dict[str, list[PriceLine]] = {}
    for line in price.lines:
        if line.packs:
            by_supplier.setdefault(line.supplier, []).append(line)
    cuts = {place: part.cuts_ft for place, part in enumerate(estimate.take_off.parts)}
    data = {
        "title": f"Buying list: {estimate.job.name}",
        "name": estimate.job.name,
        "computed_on": day(estimate.computed_on, sheet),
        "suppliers": [
            {
                "supplier": supplier,
                "rows": [_row(line, cuts[line.part], price.currency, sheet) for line in lines],
                **_to_pay(estimate, supplier, lines, sheet),
            }
            for supplier, lines in sorted(by_supplier.items())
        ],
        "unpriced": [
            {
                "needed": f"{number(line.quantity_needed, sheet)} {line.unit}",
                "part": line.description,
            }
            for line in price.lines
            if line.amount is None
        ],
        "cautions": cautions(estimate),
    }
    return typeset("buying_list.typ", sheet, data)


def _to_pay(
    estimate: FullEstimate, supplier: str, lines: Sequence[PriceLine], sheet: Sheet
) -> dict[str, str]:
    """Goods, delivery where it is asked, what both come to, and the least that is sold."""
    currency = estimate.price.currency
    goods = sum((line.amount or ZERO for line in lines), ZERO)
    fees = [each.fee for each in estimate.price.deliveries if each.supplier == supplier]
    order = next((one for one in estimate.purchase.orders if one.supplier == supplier), None)
    return {
        "goods": money(goods, currency, sheet) if fees else "",
        "delivery": money(sum(fees, ZERO), currency, sheet) if fees else "",
        "total": money(goods + sum(fees, ZERO), currency, sheet),
        "minimum": (
            money(order.minimum_order, currency, sheet) if order and order.minimum_order else ""
        ),
    }


def _row(line: PriceLine, cuts: Sequence[Decimal], currency: str, sheet: Sheet) -> dict[str, str]:
    pack = "" if line.pack in (None, 1) else f" of {number(line.pack or 1, sheet)} {line.unit}"
    packs = f"{number(line.packs, sheet)}{pack}" if pack else ""
    pieces = ""
    if cuts and len(set(cuts)) * 4 <= 12:
        pieces = "pieces: " + ", ".join(
            f"{cuts.count(cut)} x {number(cut, sheet)} ft" for cut in dict.fromkeys(cuts)
        )
    return {
        "quantity": f"{number(line.quantity_bought, sheet)} {line.unit}",
        "packs": packs,
        "item": line.item,
        "part": line.description,
        "sold_as": line.item_description,
        "pieces": pieces,
        "unit_price": unit_money(line.unit_price or ZERO, currency, sheet),
        "amount": money(line.amount or ZERO, currency, sheet),
        "note": "check that this is the part" if line.match == "proposed" else "",
    }
