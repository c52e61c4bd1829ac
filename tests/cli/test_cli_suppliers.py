"""``estimator quote`` with several price lists at once and the suppliers' terms."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from conftest import SAMPLES, sample_lists

from estimator.cli import main

JOB = SAMPLES / "jobs" / "six_circuit_block.yaml"
TERMS = SAMPLES / "supplier_terms" / "three_suppliers.csv"
WHOLESALE = "wholesale c and m"


def run(*words: object) -> Result:
    lists = [word for path in sample_lists() for word in ("-c", path)]
    given = ["quote", JOB, *lists, "--on", "2025-10-01", *words]
    return CliRunner().invoke(main, [str(word) for word in given], catch_exceptions=False)


def quoted(folder: Path, *words: object) -> dict[str, Any]:
    result = run("--json", folder / "result.json", *words)
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads((folder / "result.json").read_text())["price"]
    return found


def terms_file(folder: Path, fee: str) -> Path:
    path = folder / "terms.csv"
    path.write_text(TERMS.read_text().replace(f"{WHOLESALE},50.00,18.00", f"{WHOLESALE},0,{fee}"))
    return path


def orders(price: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {each["supplier"]: each for each in price["purchase_plan"]["suppliers"]}


def test_three_lists_give_one_plan_that_keeps_the_terms(tmp_path: Path) -> None:
    price = quoted(tmp_path, "--suppliers", TERMS)
    plan = price["purchase_plan"]

    assert plan["optimal"] is True
    assert (plan["gap"], plan["lower_bound"]) == ("0", plan["cost"])
    for each in plan["suppliers"]:
        assert Decimal(each["goods"]) >= Decimal(each["minimum_order"])
    sums = [Decimal(each["goods"]) + Decimal(each["delivery_fee"]) for each in plan["suppliers"]]
    assert Decimal(plan["cost"]) == sum(sums)
    fees = sum(Decimal(each["fee"]) for each in price["deliveries"])
    lines = sum(Decimal(line["amount"]) for line in price["lines"] if line["amount"])
    assert Decimal(price["totals"]["materials"]) == lines + fees


def test_another_delivery_fee_changes_where_things_are_bought(tmp_path: Path) -> None:
    cheap = quoted(tmp_path, "--suppliers", terms_file(tmp_path, "1.00"))
    dear = quoted(tmp_path, "--suppliers", terms_file(tmp_path, "90.00"))

    assert WHOLESALE in orders(cheap)
    assert WHOLESALE not in orders(dear)
    assert Decimal(cheap["purchase_plan"]["cost"]) < Decimal(dear["purchase_plan"]["cost"])


def test_a_fee_is_never_paid_where_it_costs_more_than_it_saves(tmp_path: Path) -> None:
    without = Decimal(quoted(tmp_path)["purchase_plan"]["cost"])
    costs = [
        Decimal(quoted(tmp_path, "--suppliers", terms_file(tmp_path, fee))["purchase_plan"]["cost"])
        for fee in ("0", "2.00", "4.00", "500.00")
    ]

    assert costs[0] == without
    assert costs == sorted(costs)
    assert costs[1] - costs[0] <= 2


def test_the_report_says_what_is_ordered_where() -> None:
    output = run("--suppliers", TERMS).output

    assert "Purchase by supplier" in output
    assert "North Counter (invented): " in output
    assert "Proven the least money on these terms." in output


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("supplier,fee\nA,1\n", "supplier"),
        (TERMS.read_text().replace("12.00", "twelve"), "terms.csv, row 3, column delivery fee"),
    ],
)
def test_terms_that_cannot_be_read_are_refused_and_nothing_is_written(
    text: str, where: str, tmp_path: Path
) -> None:
    (tmp_path / "terms.csv").write_text(text)

    result = run("--suppliers", tmp_path / "terms.csv", "--json", tmp_path / "result.json")

    assert result.exit_code == 2
    assert where in result.output
    assert not (tmp_path / "result.json").exists()


def test_a_missing_file_of_terms_is_named(tmp_path: Path) -> None:
    result = run("--suppliers", tmp_path / "none.csv")

    assert result.exit_code == 2
    assert "none.csv: cannot be read" in result.output
