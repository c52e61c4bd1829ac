"""The vocabulary of parts is read strictly."""

from decimal import Decimal

import pytest
from takeoff_factory import WHY

from estimator.takeoff.part_kinds import (
    PartKindsError,
    UnknownPart,
    load_part_kinds,
    parse_part_kinds,
)

GOOD = """
[rope]
unit = "ft"
stick = true
attributes = ["size", "colour"]
description = "{size} rope, {colour}"
cost_code = "tools"
"""


@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        ('unit = "ft"', 'unit = "m"', "unit 'm' is not one of ea, ft"),
        ('unit = "ft"', 'unit = "ea"', "stick is only for goods in ft"),
        ("stick = true", 'stick = "yes"', "stick must be true or false"),
        ("stick = true", "length = 10", "unknown field length"),
        ('cost_code = "tools"', "", "field cost_code is missing"),
        ('cost_code = "tools"', 'cost_code = ""', "cost_code must be text"),
        ('["size", "colour"]', "[]", "attributes must be a list of different names"),
        ('["size", "colour"]', '["size", "size"]', "attributes must be a list"),
        ("{size} rope, {colour}", "{size} rope", "leaves out the attribute colour"),
        ("{size} rope, {colour}", "{size} {colour} {x}", "{x}, which is not an attribute"),
        ("{size} rope, {colour}", "{size {colour}", "description:"),
        ("[rope]", "rope = 1\n[other]", "rope: is not a table of fields"),
        (GOOD, "", "there are no kinds"),
        (GOOD, "[rope", "kinds.toml"),
    ],
)
def test_a_broken_vocabulary_is_refused_with_file_kind_and_fault(
    was: str, now: str, says: str
) -> None:
    with pytest.raises(PartKindsError, match=r"kinds\.toml") as error:
        parse_part_kinds(GOOD.replace(was, now), "kinds.toml")

    assert says in str(error.value)


def test_a_kind_orders_names_and_describes_its_attributes() -> None:
    kind = parse_part_kinds(GOOD)["rope"]

    attributes = kind.identify({"colour": "red", "size": "1/2"})

    assert attributes == (("size", "1/2"), ("colour", "red"))
    assert kind.describe(attributes) == "1/2 rope, red"
    assert (kind.unit, kind.stick, kind.cost_code) == ("ft", True, "tools")


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"size": "1/2"}, "colour is missing"),
        ({"size": "1/2", "colour": ""}, "colour is missing"),
        ({"size": "1/2", "colour": "red", "age": "old"}, "age is not one of them"),
    ],
)
def test_a_part_with_other_attributes_is_refused(values: dict[str, str], says: str) -> None:
    with pytest.raises(UnknownPart, match=says):
        parse_part_kinds(GOOD).identify("rope", values)


def test_an_unknown_kind_is_refused_with_the_known_ones() -> None:
    with pytest.raises(UnknownPart, match="'string' is not a kind of part; the kinds are rope"):
        parse_part_kinds(GOOD).identify("string", {})


def test_a_part_takes_unit_description_and_cost_code_from_its_kind() -> None:
    part = load_part_kinds().part(
        "locknut",
        (("trade_size", "3/4"), ("style", "steel")),
        Decimal(2),
        asked_by=("/runs/0",),
        because=WHY,
    )

    assert part.description == "3/4 locknut, steel"
    assert (part.unit, part.cost_code, part.cuts_ft) == ("ea", "wiring_interconnect", ())


def test_the_vocabulary_is_read_once() -> None:
    assert load_part_kinds() is load_part_kinds()
