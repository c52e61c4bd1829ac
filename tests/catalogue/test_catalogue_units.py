"""Prices per hundred, thousand, foot and metre come down to the price of one, exactly."""

import csv
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from catalogue_factory import GOOD_ROW, WIRE_ROW, read, row
from hypothesis import given
from hypothesis import strategies as st
from price_rows_factory import bushing, fault, only_item, read_rows, wire

from estimator.catalogue.list_rules import ListSettings
from estimator.catalogue.units_of_measure import load_units_of_measure

CASES_FOLDER = Path(__file__).parent / "cases"
with (CASES_FOLDER / "prices_per_unit.csv").open(encoding="utf-8") as file:
    CASES = list(csv.DictReader(file))
with (CASES_FOLDER / "un_ece_units.csv").open(encoding="utf-8") as file:
    PUBLISHED = list(csv.DictReader(file))


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
        pack = "" if unit.content else "100"
        each, length = (
            read(row(per=written, pack=pack)),
            read(row(WIRE_ROW, per=written, pack=pack)),
        )

        counts = len(each.items) + len(length.items)
        both = {"hundred", "thousand", "package", "set"}
        expected = 2 if unit.meaning in both else 0 if unit.meaning == "other" else 1
        assert counts == expected, written
        assert counts + len(each.rejected) + len(length.rejected) == 2


NUMBERS = {
    "hundred": 100, "thousand": 1000, "dozen": 12, "gross": 144, "pair": 2, "pairs": 2, "half": 0,
    "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "ten": 10, "eleven": 11, "twenty": 20,
}  # fmt: skip
# The agreement of 1959: a yard is 0.9144 m, so a foot 0.3048 m and an inch 0.0254 m.
METRES = {
    "foot": "0.3048", "inch": "0.0254", "yard": "0.9144",
    "metre": "1", "hectometre": "100", "kilometre": "1000",
}  # fmt: skip


@pytest.mark.parametrize(
    "case", PUBLISHED, ids=[f"{c['code']} {c['published_name']}" for c in PUBLISHED]
)
def test_published_codes_mean_what_their_published_name_says(case: dict[str, str]) -> None:
    """Codes and names of UN/ECE Recommendations 20 and 21, as a public copy lists them."""
    name = case["published_name"].lower().replace("(linear)", "").split()
    count = next((NUMBERS[word] for word in name if word in NUMBERS), 1)
    length = next((METRES[word] for word in name if word in METRES), None)
    unit = load_units_of_measure()[case["code"]]

    if unit.meaning == "other":
        assert "is not a unit that parts are counted in" in fault(
            bushing(per=case["code"], pack="")
        )
    elif length is not None:
        price = Fraction(1000) * Fraction("0.3048") / (count * Fraction(length))
        assert only_item(wire(price="1000", per=case["code"])).unit_price == rounded(price)
    elif unit.meaning in ("package", "set") and unit.content is None:
        # The code alone is no price factor; with 100 in it the price is for the 100.
        assert only_item(bushing(price="50", per=case["code"], pack="100")).unit_price == Decimal(
            "0.5000"
        )
        assert "does not say how much it contains" in fault(bushing(per=case["code"], pack=""))
    else:
        price = Fraction(1000) / count
        item = only_item(bushing(price="1000", per=case["code"], pack=""))
        assert item.unit_price == rounded(price)


def rounded(price: Fraction) -> Decimal:
    """Four places, half up, by whole numbers alone."""
    tenths = price * 100_000
    return Decimal((tenths.numerator // tenths.denominator + 5) // 10) / 10_000


@given(
    st.decimals("0.05", "99999", places=2),
    st.sampled_from(["EA", "DZN", "C", "M", "GRO"]),
)
def test_pieces_are_divided_and_rounded_exactly(price: Decimal, per: str) -> None:
    count = {"EA": 1, "DZN": 12, "C": 100, "M": 1000, "GRO": 144}[per]

    item = only_item(bushing(price=str(price), per=per))

    exact = Fraction(price) / count
    assert abs(Fraction(item.unit_price) - exact) <= Fraction(1, 20_000)
    assert item.unit_price == (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(
        Decimal("0.0001"), ROUND_HALF_UP
    )


def test_a_price_for_the_package_is_divided_by_its_contents() -> None:
    reel = only_item(wire(price="192.50", per="RL", pack="500"))
    box = only_item(bushing(price="12.50", per="BX", pack="100"))

    assert (reel.unit_price, reel.pack, reel.price_basis) == (Decimal("0.3850"), 500, "pack")
    assert (box.unit_price, box.pack) == (Decimal("0.1250"), 100)


def test_contents_come_from_the_description_where_no_column_tells_them() -> None:
    item = only_item(
        bushing(
            price="12.50", per="BX", pack="", description="3/4 PLASTIC INSULATING BUSHING 100/BX"
        )
    )

    assert (item.pack, item.unit_price) == (100, Decimal("0.1250"))


def test_like_packages_with_other_descriptions_have_their_own_contents() -> None:
    rows = [
        bushing(item_number="B-1", per="BX", pack="", description="3/4 PLASTIC BUSHING 100/BX"),
        bushing(item_number="B-2", per="BX", pack="", description="3/4 PLASTIC BUSHING 50/BX"),
    ]

    assert [item.pack for item in read_rows(*rows).items] == [100, 50]


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({"per": "BX", "pack": "1"}, "column pack: a BX of 1 does not tell what it contains"),
        ({"per": "P5", "pack": "10"}, "column pack: 10 cannot be in a P5, which holds 5"),
        ({"per": "EA", "pack": "10 FT"}, "column pack: '10 FT' counts in a unit that these goods"),
        ({"per": "EA", "pack": "", "sold by": "RL"}, "column sold by: 'RL' does not say how much"),
        ({"per": "EA", "pack": "", "sold by": "FT"}, "column sold by: FT does not count"),
        ({"per": "EA", "pack": "", "sold by": "lorry"}, "column sold by: 'lorry' is not a unit we"),
    ],
)
def test_contents_that_are_unknown_or_contradict_are_faults(
    cells: dict[str, str], expected: str
) -> None:
    assert expected in fault({**bushing(), **cells})


def test_price_basis_selling_unit_and_pack_are_apart() -> None:
    priced_by_c = only_item(bushing(price="12.50", per="C", pack="", sold_by="EA"))
    sold_by_c = only_item(bushing(price="12.50", per="C", pack="", sold_by="C"))
    in_pairs = only_item(bushing(price="3.00", per="PR", pack=""))
    feet_in_pack = only_item(wire(price="385", per="M", pack="500 FT"))

    assert (priced_by_c.pack, priced_by_c.unit_price) == (1, Decimal("0.1250"))
    assert sold_by_c.pack == 100
    assert (in_pairs.pack, in_pairs.unit_price) == (2, Decimal("1.5000"))
    assert feet_in_pack.pack == 500


def test_the_unit_may_stand_beside_the_price() -> None:
    for written in ("12.50/C", "$12.50 / C", "12.50 per C", "12.50 per 100", "12.50 C"):
        item = only_item(bushing(price=written, per=""))
        assert (item.unit_price, item.price_basis) == (Decimal("0.1250"), "hundred")
    assert only_item(bushing(price="12.50/C", per="C")).unit_price == Decimal("0.1250")
    assert "is written per C, but column per says EA" in fault(bushing(price="12.50/C", per="EA"))


def test_rows_without_a_unit_do_not_borrow_that_of_a_row_before() -> None:
    price_list = read_rows(
        bushing(item_number="B-1", price="12.50/C", per=""),
        bushing(item_number="B-2", price="12.50", per=""),
        bushing(item_number="B-3", price="0.20/EA", per=""),
    )

    assert [item.unit_price for item in price_list.items] == [Decimal("0.1250"), Decimal("0.2000")]
    assert [found.where for found in price_list.rejected] == ["row 3, column per"]


def test_lengths_in_metres_become_usable_feet() -> None:
    reel = only_item(wire(price="126.32", per="JPS", pack="100"))
    cut = only_item(wire(price="1.00", per="MTR", pack=""))
    sticks = only_item(
        wire(
            kind="raceway", attributes="raceway=EMT; trade_size=3/4",
            price="2.00", per="MTR", pack="30", pieces_per_pack="10",
        )
    )  # fmt: skip

    # 100 / 0.3048 = 328.08398...; rounded down, so that no cut is promised that is not there.
    assert (reel.pack, reel.unit_price) == (Decimal("328.0839"), Decimal("0.3850"))
    assert "A pack of 100 m counts as 328.0839 ft." in reel.supposed
    assert (cut.pack, cut.unit_price) == (1, Decimal("0.3048"))
    assert sticks.pack == Decimal("98.4250")
    assert sticks.pack / 10 <= Decimal(3) / Decimal("0.3048")


def test_a_bare_m_in_a_list_with_metric_signs_needs_the_word_of_a_person() -> None:
    metric = wire(item_number="W-2", price="1.10", per="MTR")
    bare = wire(price="385.50", per="M")

    assert "'M' is a thousand in one list and a metre in another" in fault(bare, metric)
    thousand = read_rows(bare, metric, settings=ListSettings(bare_m="thousand"))
    metres = read_rows(bare, metric, settings=ListSettings(bare_m="metre"))
    assert thousand.items[0].unit_price == Decimal("0.3855")
    assert metres.items[0].unit_price == Decimal("117.5004")


@pytest.mark.parametrize(
    "other",
    [
        wire(item_number="W-2", price="1,10", per="FT"),
        bushing(item_number="B-2", per="M", price="90.00", description="bushing 20 mm"),
    ],
)
def test_decimal_commas_and_metric_sizes_are_metric_signs(other: dict[str, str]) -> None:
    price_list = read_rows(wire(price="385.50", per="M"), other)

    assert "'M' is a thousand in one list" in price_list.rejected[0].message


def test_without_metric_signs_a_bare_m_is_a_thousand_and_the_list_says_so() -> None:
    price_list = read_rows(wire(price="385.50", per="M"))

    assert price_list.items[0].unit_price == Decimal("0.3855")
    assert "M alone is read as a thousand" in price_list.read_as[0]
