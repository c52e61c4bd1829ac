"""What the manual of price lists shows is what is read."""

from importlib import resources
from typing import get_args

from catalogue_factory import read_text

from estimator.catalogue.columns.header_words import load_header_words
from estimator.catalogue.header import REQUIRED, Column

MANUAL = resources.files("estimator.catalogue").joinpath("README.md").read_text("utf-8")


def test_the_example_in_the_manual_is_read_without_a_fault() -> None:
    example = MANUAL.split("```csv\n")[1].split("```")[0]

    price_list = read_text(example)

    assert price_list.rejected == ()
    assert [str(item.unit_price) for item in price_list.items] == [
        "0.3400",
        "0.5500",
        "0.6120",
        "0.5820",
        "0.1200",
        "0.2000",
    ]
    assert [item.pieces for item in price_list.items] == [1, 1, 1, 10, 1, 1]


def test_the_manual_names_every_column_and_which_are_needed() -> None:
    rows = [line.split("|") for line in MANUAL.splitlines() if line.startswith("| `")]
    named = {cells[1].strip().strip("`"): cells[2].strip() == "yes" for cells in rows}

    assert named == {column: column in REQUIRED for column in get_args(Column)}
    assert set(load_header_words().values()) == set(named)
