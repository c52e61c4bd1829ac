"""Totals are those that a person gets by hand from the rules in price.py."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest
from pricing_factory import bushing, group, item_for, job, price

from estimator.pricing.records import Price

with (Path(__file__).parent / "cases" / "totals.csv").open(encoding="utf-8") as file:
    CASES = list(csv.DictReader(file))


def maybe(text: str) -> Decimal | None:
    return Decimal(text) if text else None


def price_of(case: dict[str, str]) -> Price:
    of = job(
        labour={
            "hourly_rate": maybe(case["hourly_rate"]),
            "wage": maybe(case["wage"]),
            "burden_percent": Decimal(case["burden"]),
            "skill": case["skill"],
        },
        markup_percent=maybe(case["markup"]),
        margin_percent=maybe(case["margin"]),
        overhead_percent=Decimal(case["overhead"]),
        contingency_percent=Decimal(case["contingency"]),
        sales_tax_percent=Decimal(case["tax"]),
        taxable=tuple(case["taxable"].split()),
        permit_fee=Decimal(case["permit"]),
        discount=Decimal(case["discount"]),
        deposit_percent=Decimal(case["deposit"]),
    )
    part = bushing("3/4", "1")
    priced = Decimal(case["materials"]) > 0
    parts, items = ([part], [item_for(part, case["materials"])]) if priced else ([], [])
    return price(of, parts, items, case["hours"])


@pytest.mark.parametrize("case", CASES, ids=[f"{c['case']} ({c['source']})" for c in CASES])
def test_total(case: dict[str, str]) -> None:
    found = price_of(case)

    assert group(found, "materials").cost == Decimal(case["materials"])
    assert group(found, "materials").profit == Decimal(case["materials_profit"])
    assert group(found, "labour").cost == Decimal(case["labour_cost"])
    assert group(found, "labour").profit == Decimal(case["labour_profit"])
    assert sum(each.sales_tax for each in found.groups) == Decimal(case["sales_tax"])
    assert found.total == Decimal(case["total"])
    assert found.deposit == Decimal(case["deposit_due"])
    assert found.complete
    assert found.findings == ()
