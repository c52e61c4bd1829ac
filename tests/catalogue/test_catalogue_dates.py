"""Dates of validity are read as written; what can be read in two ways is never guessed."""

import csv
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from price_rows_factory import bushing, fault, only_item, read_rows

from estimator.catalogue.dates import read_date
from estimator.catalogue.list_rules import ListSettings

with (Path(__file__).parent / "cases" / "dates.csv").open(encoding="utf-8") as file:
    CASES = list(csv.DictReader(file))
ORDERS = {"yes": True, "no": False, "": None}


@pytest.mark.parametrize("case", CASES, ids=[f"{c['written']} ({c['source']})" for c in CASES])
def test_written_date(case: dict[str, str]) -> None:
    settings = ListSettings(day_first=ORDERS[case["day_first"]])

    item = only_item(bushing(valid_until=case["written"]), settings=settings)

    assert item.valid_until == (date.fromisoformat(case["date"]) if case["date"] else None)


@given(st.dates(date(1990, 1, 1), date(2099, 12, 31)), st.booleans())
def test_every_way_of_writing_a_day_gives_it_back(day: date, day_first: bool) -> None:
    serial = str((day - date(1899, 12, 30)).days)
    order = "%d/%m/%Y" if day_first else "%m/%d/%Y"

    for written in (day.isoformat(), f"{day:%Y%m%d}", f"{day:%d.%m.%Y}", f"{day:{order}}"):
        assert read_date(written, day_first) == day
    if day >= date(2000, 1, 1):
        assert read_date(serial, None) == day
        assert read_date(f"{day:%d %b %y}", None) == day


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("03/04/26", "'03/04/26' can be read in two ways: day or month first? Say it for the whole "
                     "list, or write it as 2026-03-04 or 2026-04-03"),
        ("13/13/26", "is not a day of the calendar"),
        ("2026-02-29", "is not a day of the calendar"),
        ("soon", "'soon' is not a date. Write it as 2026-03-04"),
        ("1.2E+5", "is not a date"),
        ("1926-03-04", "is in the year 1926"),
        ("4 Mrz 2026", "is not a date"),
    ],
)  # fmt: skip
def test_a_date_that_is_none_or_two_keeps_the_row_out(written: str, expected: str) -> None:
    told = fault(bushing(valid_until=written))

    assert told.startswith("row 2, column valid until: ")
    assert expected in told


@pytest.mark.parametrize(
    ("other", "expected", "stated"),
    [
        ("12/25/26", date(2026, 3, 4), "read month before day"),
        ("25/12/26", date(2026, 4, 3), "read day before month"),
    ],
)
def test_other_rows_that_can_be_read_one_way_only_tell_the_order(
    other: str, expected: date, stated: str
) -> None:
    price_list = read_rows(
        bushing(item_number="B-1", valid_from="03/04/26"),
        bushing(item_number="B-2", valid_from=other),
    )

    assert price_list.items[0].valid_from == expected
    assert any(stated in sentence for sentence in price_list.read_as)


def test_rows_that_contradict_each_other_tell_no_order() -> None:
    price_list = read_rows(
        bushing(item_number="B-1", valid_from="03/04/26"),
        bushing(item_number="B-2", valid_from="12/25/26"),
        bushing(item_number="B-3", valid_from="25/12/26"),
    )

    assert [item.number for item in price_list.items] == ["B-2", "B-3"]
    assert "can be read in two ways" in price_list.rejected[0].message


def test_what_a_person_says_goes_before_what_rows_show() -> None:
    rows = [bushing(item_number="B-1", valid_from="03/04/26")]

    item = only_item(*rows, settings=ListSettings(day_first=True))

    assert item.valid_from == date(2026, 4, 3)


def test_a_price_cannot_end_before_it_begins() -> None:
    told = fault(bushing(valid_from="2026-03-04", valid_until="2026-03-03"))

    assert "2026-03-03 is before 2026-03-04, from which the price holds" in told
    one_day = only_item(bushing(valid_from="2026-03-04", valid_until="2026-03-04"))
    assert one_day.valid_from == one_day.valid_until
