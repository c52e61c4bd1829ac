"""A list that was read before is not read again, unless anything decides it otherwise."""

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest

from estimator.catalogue.columns.mapping import ToldColumn, ToldMapping
from estimator.catalogue.files.limits import DEFAULT_LIMITS
from estimator.catalogue.list_rules import ListSettings
from estimator.catalogue.read_price_list import ColumnsKnown, read_price_list
from estimator.catalogue.reading_memo import READINGS, ReadingMemo
from estimator.catalogue.records import PriceList
from estimator.finding import InputRefused
from estimator.takeoff.part_kinds import load_part_kinds

SAMPLE = Path(__file__).parents[2] / "catalog_samples/price_lists/north_counter.csv"
DATA = SAMPLE.read_bytes()
KINDS = load_part_kinds()


@pytest.fixture(autouse=True)
def nothing_known() -> None:
    READINGS.clear()


def test_the_same_file_read_in_the_same_way_is_read_once() -> None:
    first = read_price_list(DATA, "a.csv", KINDS)

    assert read_price_list(bytes(bytearray(DATA)), "a.csv", KINDS) is first
    READINGS.clear()
    again = read_price_list(DATA, "a.csv", KINDS)
    assert again is not first
    assert again == first


def test_whatever_decides_the_reading_makes_it_another_one() -> None:
    first = read_price_list(DATA, "a.csv", KINDS)
    told = ToldMapping((ToldColumn("", "", "description", None),))
    ways = [
        read_price_list(DATA, "b.csv", KINDS),
        read_price_list(DATA + b"\n", "a.csv", KINDS),
        read_price_list(DATA, "a.csv", dict(KINDS)),
        read_price_list(DATA, "a.csv", KINDS, {("x", "y"): ("conductor", ())}),
        read_price_list(DATA, "a.csv", KINDS, settings=ListSettings(day_first=True)),
        read_price_list(DATA, "a.csv", KINDS, columns=ColumnsKnown(supplier="Other")),
        read_price_list(DATA, "a.csv", KINDS, columns=ColumnsKnown(told)),
        read_price_list(DATA, "a.csv", KINDS, columns=ColumnsKnown(remembered={("x", "y"): told})),
        read_price_list(DATA, "a.csv", KINDS, limits=replace(DEFAULT_LIMITS, rows=100_000)),
        read_price_list(BytesIO(DATA), "a.csv", KINDS),
    ]

    assert len({id(first), *map(id, ways)}) == 1 + len(ways)
    with pytest.raises(InputRefused):
        read_price_list(DATA, "a.csv", KINDS, limits=replace(DEFAULT_LIMITS, rows=10))
    assert ways[6].mappings != first.mappings


def test_a_refusal_is_told_each_time() -> None:
    for _ in range(2):
        with pytest.raises(InputRefused):
            read_price_list(b"nothing,of,use\n1,2,3\n", "a.csv", KINDS)


def test_only_so_many_bytes_are_remembered() -> None:
    memo = ReadingMemo(most_bytes=100, longest=60)
    known = read_price_list(DATA, "a.csv", KINDS)
    asked: list[bytes] = []

    def read(data: bytes) -> PriceList:
        def really() -> PriceList:
            asked.append(data)
            return known

        return memo.read(data, "", really)

    one, two, long = b"1" * 50, b"2" * 50, b"3" * 61
    for data in (one, two, one, two, long, long):
        read(data)
    assert asked == [one, two, long, long]
    read(one)
    read(b"4" * 10)  # The one asked for longest ago has to go.
    read(one)
    read(two)
    assert asked[4:] == [b"4" * 10, two]
