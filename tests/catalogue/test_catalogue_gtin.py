"""A GTIN is taken with a right check digit only; a wrong one is left out, its price is not."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from price_rows_factory import bushing, only_item, read_rows

from estimator.catalogue.gtin import check_digit, is_gtin, read_gtin

with (Path(__file__).parent / "cases" / "gtins.csv").open(encoding="utf-8") as file:
    CASES = list(csv.DictReader(file))


@pytest.mark.parametrize("case", CASES, ids=[f"{c['gtin']} ({c['source']})" for c in CASES])
def test_published_examples(case: dict[str, str]) -> None:
    digits = case["gtin"]

    assert read_gtin(digits) == digits
    assert case["kind"] == f"GTIN-{len(digits)}"
    assert only_item(bushing(gtin=digits)).gtin == digits
    for wrong in set("0123456789") - {digits[-1]}:
        assert not is_gtin(digits[:-1] + wrong)


def test_the_worked_example_of_eighteen_digits() -> None:
    """GS1 General Specifications, section 7.9.1: 37610425002123456 has the check digit 9."""
    assert check_digit("37610425002123456") == 9


@given(st.sampled_from([7, 11, 12, 13]).flatmap(
    lambda length: st.text("0123456789", min_size=length, max_size=length)
))  # fmt: skip
def test_the_weighted_sum_with_the_check_digit_is_a_multiple_of_ten(digits: str) -> None:
    whole = digits + str(check_digit(digits))

    # As the specification writes it: right-justified in 18 places, odd ones count three times.
    weighted = [int(d) * (3 if n % 2 == 0 else 1) for n, d in enumerate(whole.zfill(18))]
    assert sum(weighted) % 10 == 0


@given(st.text("0123456789", min_size=11, max_size=11), st.integers(0, 11), st.integers(1, 9))
def test_any_single_wrong_digit_is_found(digits: str, place: int, change: int) -> None:
    whole = digits + str(check_digit(digits))
    wrong = str((int(whole[place]) + change) % 10)

    assert not is_gtin(whole[:place] + wrong + whole[place + 1 :])


@pytest.mark.parametrize("written", ["6 291041 500213", "629-1041-500213", "6291041500213.0"])
def test_blanks_and_hyphens_do_not_matter(written: str) -> None:
    assert read_gtin(written) == "6291041500213"


@pytest.mark.parametrize("written", ["", "N/A", "-", " none "])
def test_a_list_may_give_none(written: str) -> None:
    assert only_item(bushing(gtin=written)).gtin == ""


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("6.29104E+12", "was shortened by a spreadsheet. Format the column as text"),
        ("1.2E+11", "was shortened by a spreadsheet"),
        ("12345678905", "with a leading zero it is the GTIN-12 012345678905"),
        ("12345678901", "lacks its check digit or a leading zero. With its check digit it is "
                        "123456789012"),
        ("6291041500214", "ends with 4, but its check digit would be 3"),
        ("61414100003X", "has other signs than digits"),
        ("12345", "has 5 digits; a GTIN has 8, 12, 13 or 14"),
    ],
)  # fmt: skip
def test_a_wrong_gtin_is_told_and_left_out_but_its_item_is_used(
    written: str, expected: str
) -> None:
    price_list = read_rows(bushing(gtin=written), bushing(item_number="B-2", gtin="95050003"))

    assert [item.gtin for item in price_list.items] == ["", "95050003"]
    assert price_list.rejected == ()
    (doubt,) = price_list.doubts
    assert doubt.where == "row 2, column gtin"
    assert expected in doubt.message
    assert doubt.message.endswith("It was left out")
