"""Status, replacement, lead time and the contents of kits."""

import pytest
from price_rows_factory import bushing, fault, only_item, read_rows, without

BUSHING = "insulating_bushing: trade_size=3/4"
WIRE = "conductor: size=10 AWG; material=cu; insulation=THHN/THWN-2; colour=black"
KIT = {**without(bushing(per="SET", pack=""), "kind", "attributes"), "kind": "kit"}


@pytest.mark.parametrize(
    ("status", "replaced_by", "discontinued"),
    [
        ("", "", False),
        ("A", "", False),
        ("s", "", False),
        ("In stock", "", False),
        ("D", "", True),
        ("disc.", "", True),
        ("Obsolete", "B-9", True),
        ("", "B-9", True),
        ("Active", "B-9", False),
    ],
)
def test_status(status: str, replaced_by: str, discontinued: bool) -> None:
    item = only_item(bushing(status=status, replaced_by=replaced_by))

    assert (item.discontinued, item.replaced_by) == (discontinued, replaced_by)


def test_a_status_that_is_not_known_keeps_the_row_out() -> None:
    told = fault(bushing(status="Q7"))

    assert told.startswith("row 2, column status: 'Q7' is not a status we know")


@pytest.mark.parametrize(
    ("written", "days"),
    [
        ("", None), ("14", 14), ("10 days", 10), ("2 weeks", 14), ("2 wks", 14), ("1-2 weeks", 14),
        ("3 to 5 days", 5), ("5 business days", 7), ("1 month", 31), ("stock", 0), ("In stock", 0),
    ],
)  # fmt: skip
def test_lead_time_in_calendar_days(written: str, days: int | None) -> None:
    assert only_item(bushing(lead_time=written)).lead_time_days == days


@pytest.mark.parametrize("written", ["ARO", "weeks", "2026-03-04", "soon", "5000"])
def test_a_lead_time_that_is_not_understood_is_left_out_and_told(written: str) -> None:
    price_list = read_rows(bushing(lead_time=written))

    assert price_list.items[0].lead_time_days is None
    (doubt,) = price_list.doubts
    assert doubt.where == "row 2, column lead time"
    assert doubt.message.endswith("It was left out")


def test_a_kit_holds_parts_with_quantities() -> None:
    item = only_item({**KIT, "covers": f"{BUSHING} x 4 | {WIRE} x 12.5"})

    assert (item.kind, item.attributes, item.unit, item.pack) == ("kit", (), "ea", 1)
    assert [(each.kind, each.quantity) for each in item.covers] == [
        ("insulating_bushing", 4), ("conductor", 12.5),
    ]  # fmt: skip
    assert item.covers[0].attributes == (("trade_size", "3/4"),)
    assert item.description == "plastic bushing"


def test_a_kit_in_a_list_that_describes_its_goods() -> None:
    kit = {**without(KIT, "kind"), "covers": f"{BUSHING} x 4", "description": "HOUSE KIT"}

    assert only_item(kit).kind == "kit"


@pytest.mark.parametrize(
    ("covers", "expected"),
    [
        (BUSHING, 'has no quantity. Write " x 1"'),
        (f"{BUSHING} x none", "'none' is not a quantity"),
        (f"{BUSHING} x 0", "'0' is not a quantity above zero"),
        ("trade_size=3/4 x 1", 'has no ":" between kind and attributes'),
        ("thing: size=1 x 1", "'thing' is not a kind of part that we know"),
        ("insulating_bushing: size=1 x 1", "'size' is not an attribute of insulating_bushing"),
        (f"{BUSHING} x 1 | {BUSHING} x 2", "stands twice; add the quantities"),
    ],
)
def test_contents_that_cannot_be_read_keep_the_row_out(covers: str, expected: str) -> None:
    told = fault({**KIT, "covers": covers})

    assert told.startswith("row 2, column covers: ")
    assert expected in told


def test_every_wrong_part_of_a_kit_is_told() -> None:
    told = fault({**KIT, "covers": f"thing: a=1 x 1 | {BUSHING} x 1 | {BUSHING}"})

    assert "'thing' is not a kind" in told
    assert "has no quantity" in told


def test_a_kit_without_contents_is_no_kind_of_part() -> None:
    assert "column kind: 'kit' is not a kind of part" in fault(
        {**KIT, "covers": "", "attributes": ""}
    )
