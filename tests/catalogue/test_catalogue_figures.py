"""Prices are read as written; what can be read in two ways is reported."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest
from catalogue_factory import GOOD_ROW, HEAD, read_text

with (Path(__file__).parent / "cases" / "written_prices.csv").open(encoding="utf-8") as file:
    CASES = list(csv.DictReader(file))
DELIMITERS = {"comma": ",", "semicolon": ";"}


def list_with(*prices: str, delimiter: str) -> str:
    lines = [delimiter.join(HEAD.split(","))]
    for number, price in enumerate(prices):
        cells = {**GOOD_ROW, "item number": f"B-{number}", "price": price}
        lines.append(
            delimiter.join('"' + cells[name].replace('"', '""') + '"' for name in HEAD.split(","))
        )
    return "\n".join(lines)


@pytest.mark.parametrize(
    "case",
    CASES,
    ids=[f"{c['written']} beside {c['other_price']} ({c['source']})" for c in CASES],
)
def test_written_price(case: dict[str, str]) -> None:
    text = list_with(case["other_price"], case["written"], delimiter=DELIMITERS[case["delimiter"]])

    price_list = read_text(text)

    if case["price"]:
        assert price_list.rejected == ()
        assert price_list.items[1].printed_price == Decimal(case["price"])
    else:
        (fault,) = price_list.rejected
        assert fault.where == "row 3, column price"
        assert "can be read in two ways" in fault.message


def test_the_list_decides_whichever_row_comes_first() -> None:
    before = read_text(list_with("1,234", "12,50", delimiter=","))
    after = read_text(list_with("12,50", "1,234", delimiter=","))

    assert before.rejected[0].where == "row 2, column price"
    assert after.rejected[0].where == "row 3, column price"
