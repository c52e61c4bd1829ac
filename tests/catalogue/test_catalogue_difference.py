"""A newer list is held against an older one: what is new, gone, dearer, cheaper, or the same."""

import csv
import io
import json
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner
from conftest import sample_lists
from price_rows_factory import bushing, read_rows, wire
from quirky_lists import mapping_of, quirky_lists

from estimator import usecases
from estimator.catalogue.difference import difference
from estimator.cli import main

NORTH = next(path for path in sample_lists() if path.stem == "north_counter")


def compared(old: Path, new: Path, *words: str) -> str:
    """What ``estimator catalogue difference`` prints."""
    result = CliRunner().invoke(
        main, ["catalogue", "difference", str(old), str(new), *words], catch_exceptions=False
    )
    assert result.exit_code == 0, result.output
    return result.output


def rewritten(folder: Path, changed: dict[str, str], gone: frozenset[str] = frozenset()) -> Path:
    """The counter's list with other prices and without some items."""
    rows = list(csv.DictReader(io.StringIO(NORTH.read_text("utf-8"))))
    path = folder / "north_counter_spring.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        for row in rows:
            number = row["item number"]
            if number not in gone:
                writer.writerow({**row, "price": changed.get(number, row["price"])})
    return path


def prices() -> dict[str, Decimal]:
    """The printed price of each item of the counter's list."""
    (price_list,) = usecases.read_catalogue([(NORTH.name, NORTH.read_bytes())]).lists
    return {item.number: item.printed_price for item in price_list.items}


@pytest.mark.parametrize("path", sample_lists(), ids=lambda path: path.name)
def test_a_list_that_comes_again_changes_nothing(path: Path, tmp_path: Path) -> None:
    again = tmp_path / "again.csv"
    again.write_bytes(path.read_bytes() + b"\n")

    counts = json.loads(compared(path, again, "--json"))["counts"]

    assert "The same file: nothing changed." in compared(path, path)
    unchanged = counts.pop("unchanged")
    assert set(counts.values()) == {0}
    assert unchanged > 300


@pytest.mark.parametrize(
    "path",
    [path for path in quirky_lists() if mapping_of(path) is None],
    ids=lambda path: path.name,
)
def test_a_quirky_list_that_comes_again_changes_nothing(path: Path) -> None:
    found = json.loads(compared(path, path, "--json"))

    assert found["same_file"]
    assert found["counts"].pop("unchanged") == found["new"]["items"] > 0
    assert set(found["counts"].values()) == {0}


def test_fifty_changed_prices_are_exactly_these_fifty(tmp_path: Path) -> None:
    before = prices()
    numbers = sorted(before)[3::9][:50]
    changed = {
        number: str(before[number] * Decimal("1.25" if at % 2 else "0.80") + Decimal("0.01"))
        for at, number in enumerate(numbers)
    }

    found = json.loads(compared(NORTH, rewritten(tmp_path, changed), "--json"))

    assert len(numbers) == 50
    assert [each["item_number"] for each in found["changed_items"]] == numbers
    for each in found["changed_items"]:
        (change,) = each["changes"]
        assert change["aspect"] == "price"
        amount = Decimal(each["unit_price"]) - Decimal(each["unit_price_before"])
        assert Decimal(each["amount"]) == amount
        assert (amount > 0) is (numbers.index(each["item_number"]) % 2 == 1)
    assert found["counts"] == {
        "new": 0, "gone": 0, "changed": 50, "price_up": 25, "price_down": 25,
        "unchanged": len(before) - 50,
    }  # fmt: skip


def test_new_gone_and_biggest_movers_are_told(tmp_path: Path) -> None:
    before = prices()
    first, second, third, *_ = sorted(before)
    spring = rewritten(
        tmp_path,
        {first: str(before[first] * 2), second: str(before[second] * 3)},
        frozenset({third}),
    )

    told, back = compared(NORTH, spring), compared(spring, NORTH)

    assert "0 new, 1 gone, 2 prices up, 0 prices down" in told
    assert "1 new, 0 gone, 0 prices up, 2 prices down" in back
    movers = told.split("Biggest movers\n")[1].splitlines()
    assert [line.split()[0] for line in movers[:2]] == [second, first]
    assert "+200.0 %" in movers[0]
    assert f"Gone\n  {third}  " in told


def test_another_unit_or_pack_is_a_change_though_the_price_of_one_is_the_same() -> None:
    old = read_rows(bushing(price="12.00", per="C", pack="100"), wire(item_number="W-1"))
    new = read_rows(bushing(price="0.12", per="EA", pack="50"), wire(item_number="W-1"))

    found = difference(old, new)

    (change,) = found.changed
    assert [each.aspect for each in change.changes] == ["unit", "pack"]
    assert (found.repriced, found.unchanged, change.amount) == ((), 1, 0)


def test_prices_in_another_currency_are_not_compared() -> None:
    (change,) = difference(read_rows(bushing()), read_rows(bushing(currency="CAD"))).changed

    assert [each.aspect for each in change.changes] == ["currency"]
    assert change.amount is None


def test_rows_that_could_not_be_used_are_told(tmp_path: Path) -> None:
    first = sorted(prices())[0]

    told = compared(NORTH, rewritten(tmp_path, {first: "call"}))

    assert "1 gone" in told
    assert "Not compared: 1 rows of north_counter_spring.csv" in told
