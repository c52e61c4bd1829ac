"""Broken tables are refused with file, row and column; one sample file for each mistake."""

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Literal

import pytest

from estimator.published.sources import load_sources
from estimator.published.tables import TableError, read_table

BROKEN = Path(__file__).parent / "broken"


@dataclass(frozen=True, slots=True)
class AmpacityRow:
    size: str
    material: Literal["cu", "al"]
    ampacity_a: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class GapRow:
    low: int | None
    locking: bool
    source: str


def read(text: str, name: str = "sample.csv") -> tuple[AmpacityRow, ...]:
    return read_table(
        text, AmpacityRow, name=name, key=("size", "material"), sources=load_sources().keys()
    )


@pytest.mark.parametrize(
    ("file", "told"),
    [
        ("unknown_column.csv", "row 1: unknown column 'colour'"),
        ("missing_column.csv", "row 1: column 'ampacity_a' is missing"),
        ("columns_out_of_order.csv", "row 1: columns must be in the order size, material"),
        ("column_twice.csv", "row 1: column 'size' stands twice"),
        ("blank_cell.csv", "row 2, column ampacity_a: is blank"),
        ("blank_source.csv", "row 2, column source: is blank"),
        (
            "duplicate_row.csv",
            "row 4, column size+material: '10 AWG cu' stands in row 2 already",
        ),
        ("unknown_source.csv", "row 2, column source: 'nec_999' is not a key of sources.toml"),
        ("not_a_number.csv", "row 2, column ampacity_a: 'thirty' is not a number"),
        ("not_finite.csv", "row 2, column ampacity_a: 'NaN' is not a number"),
        ("not_one_of.csv", "row 2, column material: 'tin' is not one of cu, al"),
        ("short_row.csv", "row 2: 3 cells, not 4"),
        ("stray_blank.csv", "row 2, column size: '10 AWG ' has blanks around it"),
        ("no_rows.csv", "the table has no rows"),
        ("empty.csv", "row 1: column 'size' is missing"),
    ],
)
def test_a_broken_table_is_refused_with_its_place(file: str, told: str) -> None:
    text = (BROKEN / file).read_text("utf-8")

    with pytest.raises(TableError) as caught:
        read(text, file)

    assert file in str(caught.value)
    assert told in str(caught.value)


def test_every_fault_of_a_table_is_told_at_once() -> None:
    text = "size,material,ampacity_a,source\n,tin,x,nec_310_16\n10 AWG,cu,30,nope\n"

    with pytest.raises(TableError) as caught:
        read(text)

    assert str(caught.value).splitlines() == [
        "sample.csv, row 2, column size: is blank",
        "sample.csv, row 2, column material: 'tin' is not one of cu, al",
        "sample.csv, row 2, column ampacity_a: 'x' is not a number",
        "sample.csv, row 3, column source: 'nope' is not a key of sources.toml",
    ]


def test_a_sound_table_gives_typed_records_in_file_order() -> None:
    text = "size,material,ampacity_a,source\n10 AWG,cu,30,nec_310_16\n8 AWG,al,35.5,memory\n"

    rows = read(text)

    assert rows == (
        AmpacityRow("10 AWG", "cu", Decimal(30), "nec_310_16"),
        AmpacityRow("8 AWG", "al", Decimal("35.5"), "memory"),
    )


def test_only_a_column_that_may_be_blank_is_read_as_unknown() -> None:
    text = "low,locking,source\n,true,memory\n3,false,memory\n"

    rows = read_table(text, GapRow, name="gap.csv", key=("low",), sources=("memory",))

    assert rows == (GapRow(None, True, "memory"), GapRow(3, False, "memory"))
