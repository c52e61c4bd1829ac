"""What the columns of a list hold is proposed, corrected by a person, given back and remembered."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from quirky_lists import FOLDER, mapping_of, quirky_lists

from estimator.catalogue.columns.mapping import ToldMapping
from estimator.catalogue.columns.mapping_file import mapping_csv, read_mapping
from estimator.catalogue.columns.remembered import remember
from estimator.catalogue.read_price_list import ColumnsKnown, read_price_list
from estimator.catalogue.records import PriceList
from estimator.cli import main
from estimator.finding import InputRefused
from estimator.takeoff.part_kinds import load_part_kinds

KINDS = load_part_kinds()
ROW = "B-1,insulating_bushing,trade_size=1/2"


def catalogue(*words: object) -> Result:
    return CliRunner().invoke(
        main, ["catalogue", *(str(word) for word in words)], catch_exceptions=False
    )


def columns(*words: object) -> list[dict[str, str]]:
    result = catalogue("columns", *words, "--json")
    assert result.exit_code == 0, result.output
    found: list[dict[str, str]] = json.loads(result.output)
    return found


def told(*lines: str) -> ToldMapping:
    return read_mapping("\n".join(("sheet,letter,head,column,value", *lines)).encode(), "m.csv")


def read(text: str, mapping: ToldMapping | None = None, name: str = "list.csv") -> PriceList:
    known = ColumnsKnown() if mapping is None else ColumnsKnown(told=mapping)
    return read_price_list(text.encode(), name, KINDS, columns=known)


@pytest.mark.parametrize(
    "path", [path for path in quirky_lists() if not mapping_of(path)], ids=lambda path: path.name
)
@pytest.mark.parametrize("form", ["csv", "json"])
def test_a_mapping_given_back_as_it_was_shown_changes_nothing(
    path: Path, form: str, tmp_path: Path
) -> None:
    shown = catalogue("columns", path, *(["--json"] if form == "json" else []))
    given = tmp_path / f"shown.{form}"
    given.write_text(shown.output, encoding="utf-8")

    checked = json.loads(catalogue("check", path, "--mapping", given, "--json").output)
    before = json.loads(catalogue("check", path, "--json").output)

    for report in (checked, before):
        for each in report["lists"]:
            # How a column was found is another; what was read of it is not.
            del each["column_mapping"], each["read_as"]
    assert checked["lists"] == before["lists"]
    assert checked["findings"] == before["findings"]


def test_columns_are_shown_with_letter_grounds_and_examples() -> None:
    lines = columns(FOLDER / "no_head.csv")

    price = next(line for line in lines if line["letter"] == "D")
    assert lines[0]["column"] == "head row"
    assert (lines[0]["value"], price["column"], price["proposed"]) == ("0", "", "price")
    assert "amounts of money" in price["because"]
    assert price["examples"].startswith("1.81 | ")


def test_money_and_units_without_a_known_head_wait_for_a_person() -> None:
    text = f"item number,kind,attributes,figure,counted in\n{ROW},12.50,C\n"

    with pytest.raises(InputRefused) as caught:
        read(text)
    item = read(text, told(",D,,price,", ",,counted in,per,")).items[0]

    (fault,) = caught.value.faults
    assert "column D (figure: 12.50) looks like price" in fault.message
    assert "column E (counted in: C) looks like per" in fault.message
    assert str(item.unit_price) == "0.1250"


def test_a_person_overrules_the_head_and_passes_columns_over() -> None:
    text = f"item number,kind,attributes,price,per,net\n{ROW},12.50,C,10.00\n"

    with pytest.raises(InputRefused, match="1 fault"):
        read(text)
    net = read(text, told(",,price,,", ",F,,price,")).items[0]
    gross = read(text, told(",,net,,")).items[0]

    assert (str(net.printed_price), str(gross.printed_price)) == ("10.00", "12.50")


def test_what_holds_for_every_row_is_told_once() -> None:
    text = f"item number,kind,attributes,list price\n{ROW},20.00\n"

    item = read(
        text,
        told(",,,per,C", ",,,multiplier,0.62", ",,,supplier,Elm (invented)", ",,,currency,CAD"),
    ).items[0]

    assert (str(item.unit_price), item.price_basis) == ("0.1240", "hundred")
    assert (item.supplier, item.currency) == ("Elm (invented)", "CAD")


@pytest.mark.parametrize(
    ("setting", "since"), [("day first", "2026-04-03"), ("month first", "2026-03-04")]
)
def test_the_order_of_dates_is_told_for_the_whole_list(setting: str, since: str) -> None:
    text = f"item number,kind,attributes,price,per,valid from\n{ROW},0.30,EA,03/04/26\n"

    assert "can be read in two ways" in read(text).rejected[0].message
    assert str(read(text, told(f",,,date order,{setting}")).items[0].valid_from) == since


@pytest.mark.parametrize(("letter_m", "unit_price"), [("thousand", "0.0005"), ("metre", "0.1524")])
def test_what_the_letter_m_is_is_told_for_the_whole_list(letter_m: str, unit_price: str) -> None:
    wire = "conductor,size=10 AWG; material=cu; insulation=THHN/THWN-2; colour=black"
    text = f"item number,kind,attributes,price,per\nW-1,{wire},0.50,M\nW-2,{wire},0.40,MTR\n"

    assert "'M' is a thousand in one list and a metre in another" in read(text).rejected[0].message
    items = read(text, told(f",,,letter m,{letter_m}")).items
    assert str(items[0].unit_price) == unit_price


def test_a_sheet_is_left_out_when_a_person_says_so() -> None:
    path = FOLDER / "lakeside_workbook.xlsx"
    mapping = told("Wire,,,leave out,yes")

    found = read_price_list(path.read_bytes(), path.name, KINDS, columns=ColumnsKnown(told=mapping))

    assert {item.sheet for item in found.items} == {"Fittings"}
    assert ("Wire", "a person said so") in [(each.sheet, each.why) for each in found.left_out]


def test_a_mapping_is_remembered_for_the_next_list_of_the_supplier_with_this_head() -> None:
    text = f"item number,kind,attributes,figure,per\n{ROW},12.50,C\n"
    first = read(text, told(",,figure,price,"))
    known = remember({}, "Elm  Supply", told(",,figure,price,"), first.mappings)

    def again(supplier: str, text: str) -> PriceList:
        columns = ColumnsKnown(remembered=known, supplier=supplier)
        return read_price_list(text.encode(), "next.csv", KINDS, columns=columns)

    assert again("elm supply", text.replace("12.50", "13.00")).items[0].printed_price == 13
    with pytest.raises(InputRefused):
        again("Oak Supply", text)
    with pytest.raises(InputRefused):
        again("elm supply", text.replace("figure", "amount"))


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ([",D,,prise,"], "row 2, column prise: 'prise' is not a column; the columns are supplier"),
        ([",D1,,price,"], "'D1' is not the letter of a column"),
        ([",,,head row,two"], "'two' is not the number of a row; write 0 where there is no head"),
        ([",,,price class,7"], "write the number of the price column that is yours, from 1 to 5"),
        ([",,,date order,year first"], "write day first or month first"),
        ([",,,multiplier,62"], "write what list prices are multiplied by, such as 0.62"),
        ([",,,price,"], "give the letter or head of a column, or else a value for all rows"),
        ([",D,,price,9.50"], "give the letter or head of a column, or else a value for all rows"),
    ],
)
def test_faults_of_a_mapping_are_told_with_their_place(lines: list[str], expected: str) -> None:
    with pytest.raises(InputRefused) as caught:
        told(*lines)

    (fault,) = caught.value.faults
    assert expected in f"{fault.where}: {fault.message}"


def test_all_faults_of_a_mapping_are_told_at_once() -> None:
    with pytest.raises(InputRefused) as caught:
        told(",D,,prise,", ",E,,per,", ",,,multiplier,0")

    assert [fault.where.split(",")[1] for fault in caught.value.faults] == [" row 2", " row 4"]


@pytest.mark.parametrize(
    "data", [b"", b" \n", b"a,b\n1,2\n", b"[1]", b"[", b"{}", b"\x00", b"[" * 9999]
)
def test_what_is_no_mapping_is_refused(data: bytes) -> None:
    with pytest.raises(InputRefused):
        read_mapping(data, "mapping.csv")


def test_texts_of_the_list_are_no_formulas_in_the_mapping_that_is_shown() -> None:
    text = f'item number,kind,attributes,price,per,"=1+1"\n{ROW},0.30,EA,"@SUM(A1)"\n'

    shown = mapping_csv(read(text).mappings)

    assert "\n,F,'=1+1,,,,Nothing tells.,'@SUM(A1)\n" in shown
