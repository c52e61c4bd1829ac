"""The plan in the documents: live delivery in the workbook, suppliers, stock and kits in JSON."""

import io
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from documents_factory import make_complete_purchase, make_estimate
from documents_office import (
    formula_cells,
    named_cell,
    needs_office,
    recalculated,
    same_value,
    with_input,
)
from openpyxl import load_workbook
from pypdf import PdfReader

from estimator.catalogue.records import Covered, KitBought, PurchasePlan, SupplierTerms
from estimator.documents.pdf import Sheet, write_pdf
from estimator.documents.result_json import result_document
from estimator.documents.text_report import text_report
from estimator.documents.workbook import write_workbook

EAST, WEST = "Invented Supply East", "Invented Supply West"
TERMS = (
    SupplierTerms(EAST, Decimal(50), Decimal("12.00"), Decimal("350"), "USD"),
    SupplierTerms(WEST, Decimal(0), Decimal("9.50"), Decimal("500"), "USD"),
)


def make_plan(**unit_prices: str) -> PurchasePlan:
    """East's goods are 362.22, West's 99.83; a kit holds half the anchors, one part is stock."""
    plan = make_complete_purchase(**unit_prices)
    anchors = next(p for p in plan.purchases if p.part.kind == "fastener")
    connectors = next(p for p in plan.purchases if p.part.kind == "twist_on_connector")
    at = plan.purchases.index(anchors)
    held = Covered(anchors.part.kind, anchors.part.attributes, Decimal(20))
    item = replace(anchors.bought[0].item, number="KIT", description="anchor kit", pack=Decimal(1),
                   unit_price=Decimal("6.2500"), covers=(held,))  # fmt: skip
    kept = replace(anchors, bought=anchors.bought[1:], from_kits=Decimal(20),
                   from_stock=Decimal(6), leftover=Decimal(1))  # fmt: skip
    stocked = replace(connectors, bought=(), from_stock=Decimal(12), leftover=Decimal(0))
    purchases = tuple(
        kept if one is anchors else stocked if one is connectors else one for one in plan.purchases
    )
    kit = KitBought(item, 1, ((at, Decimal(20), Decimal(0)),))
    return PurchasePlan(purchases, True, kits=(kit,), terms=TERMS)


def test_the_json_has_the_plan_by_supplier_with_stock_and_kits() -> None:
    plan = result_document(make_estimate(purchase=make_plan()))["price"]["purchase_plan"]

    east, west = plan["suppliers"]
    assert (east["supplier"], east["delivery_fee"], east["minimum_order"]) == (EAST, "12", "50")
    assert Decimal(east["goods"]) < 350 == Decimal(east["free_delivery_from"])
    assert (west["delivery_fee"], west["free_delivery_from"]) == ("9.5", "500")
    assert [each["quantity"] for each in plan["from_stock"]] == ["6", "12"]
    (kit,) = plan["kits"]
    assert (kit["item"], kit["packs"]) == ("KIT", 1)
    assert [(each["quantity"], each["left_over"]) for each in kit["serves"]] == [("20", "0")]
    goods = Decimal(east["goods"]) + Decimal(west["goods"])
    assert Decimal(plan["cost"]) == goods + Decimal("21.50")


def test_the_report_shows_orders_kits_stock_and_delivery() -> None:
    text = text_report(make_estimate(purchase=make_plan()))

    assert f"delivery by {EAST}" in text
    assert "(minimum order 50.00), delivery 12.00 (free from 350.00) USD" in text
    assert "Kit KIT, 1 x anchor kit: 20 of concrete screw" in text
    assert "from stock" in text
    assert "in the kit" in text


@needs_office
@pytest.mark.parametrize("price_by", ["purchase", "use"])
def test_every_formula_of_the_plan_recalculates(price_by: str, tmp_path: Path) -> None:
    estimate = make_estimate(purchase=make_plan())
    terms = replace(estimate.job.terms, price_by=price_by)
    estimate = make_estimate(replace(estimate.job, terms=terms), make_plan())
    content = write_workbook(estimate)
    carried = load_workbook(io.BytesIO(content), data_only=True)

    answer = recalculated(content, tmp_path)

    assert [
        (title, cell, carried[title][cell].value, answer[title][cell].value)
        for title, cell in formula_cells(content)
        if not same_value(carried[title][cell].value, answer[title][cell].value)
    ] == []
    title, cell = named_cell(content, "grand_total")
    assert Decimal(str(answer[title][cell].value)).quantize(Decimal("0.01")) == estimate.price.total


@needs_office
def test_a_dearer_item_makes_delivery_free_in_the_workbook_too(tmp_path: Path) -> None:
    content = write_workbook(make_estimate(purchase=make_plan()))
    sheet = load_workbook(io.BytesIO(content))["Parts"]
    row = next(row for row in range(1, sheet.max_row + 1) if sheet[f"F{row}"].value == "SW-6")

    typed = with_input(content, {("Parts", f"K{row}"): Decimal("310.5000")})
    answer = recalculated(typed, tmp_path)

    expected = make_estimate(purchase=make_plan(SW_6="310.5000")).price
    assert [each.fee for each in expected.deliveries] == [0, Decimal("9.50")]
    title, cell = named_cell(content, "grand_total")
    assert Decimal(str(answer[title][cell].value)).quantize(Decimal("0.01")) == expected.total


def test_the_sheet_of_the_purchase_has_what_each_supplier_is_paid() -> None:
    estimate = make_estimate(purchase=make_plan())
    plan = result_document(estimate)["price"]["purchase_plan"]

    sheet = load_workbook(io.BytesIO(write_workbook(estimate)), data_only=True)["Purchase"]

    rows = {(row[2].value, str(row[8].value)) for row in sheet.iter_rows()}
    for each in plan["suppliers"]:
        to_pay = Decimal(each["amount"]) + Decimal(each["delivery_fee"])
        assert ("Goods", each["amount"]) in rows
        assert (f"To pay at {each['supplier']}, before tax", str(to_pay)) in rows
    titles = [row[0].value for row in sheet.iter_rows() if row[0].value]
    assert titles.index(EAST) < titles.index(WEST) < titles.index("At hand, or in a kit above")


def test_the_buying_list_says_delivery_and_the_least_that_is_sold() -> None:
    paper = write_pdf("buying_list", make_estimate(purchase=make_plan()), Sheet())

    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(paper)).pages)

    assert "delivery $12.00" in text
    assert "Sells for $50.00 at least" in text
