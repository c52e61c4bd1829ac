"""Price lists that describe their goods in words instead of naming kind and attributes."""

from decimal import Decimal

import pytest
from catalogue_factory import read_text
from conftest import ROOT

from estimator.catalogue.confirmed import read_confirmed
from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.records import PriceList
from estimator.finding import InputRefused
from estimator.takeoff.part_kinds import load_part_kinds

HEAD = "item number,description,price,per,pack"
OTHER = ROOT / "catalog_samples" / "price_lists_other"
KINDS = load_part_kinds()


def described(*rows: str, head: str = HEAD) -> PriceList:
    return read_text("\n".join((head, *rows)))


def test_a_description_that_is_read_whole_becomes_an_item() -> None:
    price_list = described("A1,10 STR THHN/THWN-2 CU BLK 500,410.00,M,")

    (item,) = price_list.items
    assert item.kind == "conductor"
    assert dict(item.attributes)["size"] == "10 AWG"
    assert item.pack == 500
    assert item.unit_price == Decimal("0.4100")
    assert item.read_from == "description"
    assert item.supposed == ()


def test_what_the_reading_took_for_granted_stays_with_the_item() -> None:
    (item,) = described("A1,10 STR THHN BLK 500,410.00,M,").items

    assert len(item.supposed) == 2
    assert any("THWN-2" in reason for reason in item.supposed)


def test_a_description_that_is_not_understood_is_kept_apart_and_is_no_fault() -> None:
    price_list = described(
        "A1,3/4 EMT SET SCR CONN STL,1.10,EA,", "A2,3/4 EMT COMP CONN STL,1.90,EA,"
    )

    assert [item.number for item in price_list.items] == ["A1"]
    assert price_list.rejected == ()
    assert price_list.rows_rejected == 0
    (row,) = price_list.unread
    assert (row.row, row.number, row.kind) == (3, "A2", "raceway_connector")
    assert "style not given" in row.why
    assert "COMP" in row.why
    assert price_list.rows_read == 2


def test_a_fault_of_price_or_unit_is_a_fault_whatever_the_description() -> None:
    price_list = described("A1,GIZMO,call,EA,", "A2,3/4 EMT 10FT,4.00,EA,")

    assert price_list.rows_rejected == 2
    assert price_list.unread == ()
    assert "column price" in price_list.rejected[0].where
    assert "raceway is sold by length" in price_list.rejected[1].message


@pytest.mark.parametrize(
    ("row", "pack", "unit_price"),
    [
        ("A1,CONC SCR 1/4X1-3/4 HWH 100/BX,240.00,M,", 100, "0.2400"),
        ("A1,CONC SCR 1/4X1-3/4 HWH 100/BX,0.24,EA,100", 100, "0.2400"),
        ("A1,CONC SCR 1/4X1-3/4 HWH,0.24,EA,100", 100, "0.2400"),
        ("A1,CONC SCR 1/4X1-3/4 HWH,0.24,EA,", 1, "0.2400"),
        ("A1,3/4 EMT CONDUIT 10FT,129.00,CFT,", 10, "1.2900"),
    ],
)
def test_the_pack_comes_from_the_column_or_the_description(
    row: str, pack: int, unit_price: str
) -> None:
    (item,) = described(row).items

    assert item.pack == pack
    assert item.unit_price == Decimal(unit_price)


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("A1,CONC SCR 1/4X1-3/4 HWH 100/BX,24.00,EA,", "the price is for each"),
        ("A1,CONC SCR 1/4X1-3/4 HWH 100/BX,24.00,C,50", "column pack has 50"),
        ("A1,,24.00,C,", "the description is blank"),
    ],
)
def test_a_pack_or_price_that_can_mean_two_things_is_kept_apart(row: str, why: str) -> None:
    price_list = described(row)

    assert price_list.items == ()
    assert why in price_list.unread[0].why


def test_a_list_with_a_kind_column_but_no_attributes_is_not_taken_for_a_described_one() -> None:
    with pytest.raises(InputRefused) as caught:
        read_text("item number,description,kind,price,per\nA1,3/4 EMT 10FT,raceway,1.29,FT\n")

    assert "it lacks attributes" in caught.value.faults[0].message


def test_a_list_without_kinds_and_descriptions_is_refused() -> None:
    with pytest.raises(InputRefused) as caught:
        read_text("item number,price,per\nA1,1.29,FT\n")

    assert "description may stand in place" in caught.value.faults[0].message


CONFIRMED = (
    "supplier,item number,kind,attributes\n"
    "Invented Supply,A2,raceway_connector,"
    "raceway=EMT; trade_size=3/4; style=compression rain-tight\n"
)


def with_confirmed(text: str, confirmed: str = CONFIRMED) -> PriceList:
    known = read_confirmed(confirmed.encode(), "confirmed.csv", KINDS)
    return read_price_list(text.encode(), "invented_supply.csv", KINDS, known)


def test_a_confirmed_match_makes_an_item_of_what_was_not_understood() -> None:
    price_list = with_confirmed(f"{HEAD}\nA2,3/4 EMT COMP CONN STL,1.90,EA,\n")

    (item,) = price_list.items
    assert price_list.unread == ()
    assert item.read_from == "confirmed"
    assert dict(item.attributes)["style"] == "compression rain-tight"


def test_a_confirmed_match_goes_before_the_reading_of_the_description() -> None:
    (item,) = with_confirmed(f"{HEAD}\nA2,3/4 EMT SET SCR CONN STL,1.90,EA,\n").items

    assert dict(item.attributes)["style"] == "compression rain-tight"


def test_a_confirmed_match_counts_for_its_supplier_only() -> None:
    text = f"{HEAD},supplier\nA2,3/4 EMT COMP CONN STL,1.90,EA,,Another Supply\n"

    assert with_confirmed(text).items == ()


@pytest.mark.parametrize(
    ("confirmed", "told"),
    [
        ("supplier,item number,kind\nS,A,locknut\n", "the first row must name the columns"),
        ("supplier,item number,kind,attributes\n,A,locknut,trade_size=1; style=steel\n", "blank"),
        ("supplier,item number,kind,attributes\nS,A,gizmo,trade_size=1\n", "'gizmo'"),
        ("supplier,item number,kind,attributes\nS,A,locknut,trade_size=1\n", "style is missing"),
        (
            "supplier,item number,kind,attributes\nS,A,locknut,trade_size=1; style=steel\n"
            "S,A,locknut,trade_size=1; style=sealing\n",
            "another part",
        ),
        ("", "the file is empty"),
    ],
)
def test_confirmed_matches_that_cannot_stand_are_refused(confirmed: str, told: str) -> None:
    with pytest.raises(InputRefused) as caught:
        read_confirmed(confirmed.encode(), "confirmed.csv", KINDS)

    assert told in caught.value.faults[0].message


def test_all_faults_of_confirmed_matches_are_told_with_their_rows() -> None:
    text = "supplier,item number,kind,attributes\nS,A,gizmo,\nS,,locknut,\nS,B,insulating_bushing,"

    with pytest.raises(InputRefused) as caught:
        read_confirmed((text + "trade_size=1\n").encode(), "c.csv", KINDS)

    assert [fault.where for fault in caught.value.faults] == ["c.csv, row 2", "c.csv, row 3"]


def test_the_sample_list_of_descriptions_is_read_as_expected() -> None:
    path = OTHER / "descriptions_only.csv"

    price_list = read_price_list(path.read_bytes(), path.name, KINDS)

    assert {item.read_from for item in price_list.items} == {"description"}
    assert [row.number for row in price_list.unread] == [
        "CC1003", "CC1012", "CC2004", "CC2106", "CC3002", "CC3012", "CC3032", "CC4004", "CC7001",
    ]  # fmt: skip
    assert price_list.rows_rejected == 1
    assert len(price_list.items) == 52


@pytest.mark.parametrize(
    "description",
    ["CONC SCR 1/4X1-3/4 HWH 00/BX", "1/2 STL LOCKNUT 0/BX", "10 STR THHN CU BLK 0 FT REEL"],
)
def test_a_pack_of_nothing_is_no_item_and_no_crash(description: str) -> None:
    price_list = described(f"A1,{description},24.20,BX,")

    assert price_list.items == ()
    (row,) = price_list.unread
    assert row.why == "pack cannot be 0"
