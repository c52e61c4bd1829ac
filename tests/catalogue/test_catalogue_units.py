"""Prices per hundred, thousand and foot come down to the price of one, exactly."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest
from catalogue_factory import GOOD_ROW, WIRE_ROW, read, row

from estimator.catalogue.units_of_measure import load_units_of_measure

with (Path(__file__).parent / "cases" / "prices_per_unit.csv").open(encoding="utf-8") as file:
    CASES = list(csv.DictReader(file))


@pytest.mark.parametrize(
    "case", CASES, ids=[f"{c['kind_unit']} per {c['per']} ({c['source']})" for c in CASES]
)
def test_unit_price(case: dict[str, str]) -> None:
    good = WIRE_ROW if case["kind_unit"] == "ft" else GOOD_ROW

    (item,) = read(row(good, price=case["price"], per=case["per"])).items

    assert str(item.unit_price) == case["unit_price"]
    assert item.price_basis == case["basis"]
    assert item.unit == case["kind_unit"]
    assert item.printed_price == Decimal(case["price"])


def test_every_unit_in_the_table_is_either_read_or_explained() -> None:
    for written, unit in load_units_of_measure().items():
        each, length = read(row(per=written)), read(row(WIRE_ROW, per=written))

        counts = len(each.items) + len(length.items)
        assert counts == {"hundred": 2, "thousand": 2, "package": 0, "other": 0}.get(
            unit.meaning, 1
        )
        assert counts + len(each.rejected) + len(length.rejected) == 2
