"""Each uncertain point has both sides with their authorities, and both amounts."""

import json
import tomllib
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from credits_golden import CLAIMS, EVERY_COST, INSTALLED, PORTABLE, on, text_of
from credits_samples import BATTERY, answer, cost
from test_credits_rules_file import FORM_LINES, SOUND

from estimator.credits.open_sides import BY_COST
from estimator.credits.records import CreditAnswer, OpenPoint
from estimator.credits.rules_file import credit_rules_from, load_credit_rules
from estimator.published.dated import RuleError
from estimator.published.sources import load_sources


def points(result: CreditAnswer) -> dict[str, OpenPoint]:
    return {point.code: point for point in result.open_points}


def amounts(result: CreditAnswer) -> dict[str, tuple[Decimal, Decimal]]:
    return {one.code: (one.amount_against, one.amount_for) for one in result.open_points}


def test_a_sure_claim_has_no_open_point() -> None:
    assert answer().open_points == ()


def test_the_open_point_of_a_portable_unit_has_both_sides_and_both_amounts() -> None:
    result = answer(cost("battery_portable", "2450"), **PORTABLE)

    (point,) = result.open_points
    assert point.code == "PORTABLE"
    assert point.concerns.startswith("The unit is not permanently wired.")
    assert "does not say permanently" in point.for_text
    assert point.for_authority == "26 USC 25D, (d)(6)(A)"
    assert "can be used anywhere" in point.against_text
    assert point.against_authority == "26 USC 25D, silent on this point"
    assert point.settled_by
    assert (point.amount_against, point.amount_for) == (0, 735)
    assert point.supposing == "the claim as a whole has no other open point"


def test_a_cost_that_is_open_by_itself_is_told_with_its_tax() -> None:
    result = answer(*INSTALLED)

    assert amounts(result) == {
        "transfer_switch": (Decimal("3430.50"), Decimal("3623.10")),
        "inlet_box": (Decimal("3430.50"), Decimal("3430.50")),
    }
    assert points(result)["transfer_switch"].concerns == "Transfer switch or interlock"
    assert points(result)["transfer_switch"].supposing == (
        "the claim as a whole is allowed, and no other open cost"
    )


def test_what_only_hangs_on_the_battery_is_not_told_again() -> None:
    result = answer(cost("battery_portable", "2450"), *INSTALLED[1:4], **PORTABLE)

    assert list(points(result)) == ["PORTABLE", "transfer_switch"]
    assert amounts(result)["transfer_switch"] == (Decimal("895.50"), Decimal("1075.50"))


def test_a_battery_that_is_open_by_itself_carries_all_that_hangs_on_it() -> None:
    result = answer(cost("battery_stack_under_3_each", "5600"), INSTALLED[1])

    assert result.reason_codes == ("COST_LINE_UNCERTAIN",)
    assert amounts(result) == {"battery_stack_under_3_each": (0, 1830)}
    (point,) = result.open_points
    assert point.supposing == "the other open points of the claim as a whole go the same way"


def test_several_points_suppose_that_they_go_together() -> None:
    result = answer(residence="rented_out", permanently_wired=False)

    assert amounts(result) == {"SECOND_HOME_RENTED": (0, 3000), "PORTABLE": (0, 3000)}
    assert {one.supposing for one in result.open_points} == {
        "the other open points of the claim as a whole go the same way"
    }


def test_what_was_carried_in_is_in_both_amounts() -> None:
    result = answer(residence="rented_out", carryforward_in=Decimal(200))

    assert amounts(result) == {"SECOND_HOME_RENTED": (200, 3200)}


def test_the_tax_limit_holds_both_amounts() -> None:
    assert amounts(answer(*INSTALLED[:4], tax_limit=Decimal(3200))) == {
        "transfer_switch": (Decimal("3160.50"), 3200)
    }


def test_a_refused_claim_has_none_whatever_its_costs() -> None:
    assert answer(BATTERY, *EVERY_COST, residence="landlord").open_points == ()


def test_other_property_that_is_open_stands_by_itself() -> None:
    result = answer(cost("portable_solar_panel", "900"), supply_kind="none")

    assert amounts(result) == {"portable_solar_panel": (0, 270)}


def test_a_cost_that_the_rules_do_not_know_is_told_as_unsorted() -> None:
    assert list(points(answer(BATTERY, cost("never_heard_of", "10")))) == ["unsorted"]


@pytest.mark.parametrize(
    "changes",
    [
        {},
        PORTABLE,
        {"completed_on": None},
        {"newly_built_home": True, "placed_in_service_on": None},
        {"residence": "rented_out"},
        {"residence": "landlord_in_one_unit"},
        {"residence": "house_boat"},
        {"region": "US-PR"},
        {"permanently_wired": None},
        {"nameplate_kwh": None, "usable_kwh": None},
        {**on(2021), "charged_only_by_onsite_solar": True},
        {"completed_on": date(2025, 12, 31), "placed_in_service_on": date(2026, 1, 1)},
        {"other_incentives": (("luck", Decimal(10)),)},
    ],
    ids=str,
)
def test_every_uncertain_line_and_claim_is_covered(changes: dict[str, Any]) -> None:
    batteries = [
        cost(code, "100") for code in load_credit_rules().costs if code.startswith("battery_fixed")
    ]

    result = answer(*batteries, *EVERY_COST, **changes)

    told = points(result)
    for code in set(result.reason_codes if result.status == "uncertain" else ()) - BY_COST:
        assert code in told
    for line in result.lines:
        if line.status == "uncertain" and not line.in_base:
            assert {line.code, line.reason_code} & set(told), line
    for point in result.open_points:
        assert point.for_text
        assert point.for_authority
        assert point.against_text
        assert point.against_authority
        assert point.settled_by
        assert point.amount_against <= point.amount_for


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("PORTABLE", "open_point.PORTABLE is missing: PORTABLE is uncertain"),
        ("transfer_switch", "open_point.transfer_switch is missing: transfer_switch is uncertain"),
    ],
)
def test_a_rule_file_that_leaves_a_side_untold_is_refused(code: str, told: str) -> None:
    document = tomllib.loads(SOUND)
    del document["open_point"][code]

    with pytest.raises(RuleError) as caught:
        credit_rules_from(document, FORM_LINES, load_sources(), name="r")

    assert str(caught.value) == f"r: {told}"


@pytest.mark.parametrize(
    ("field", "told"),
    [
        ("for", "field for is missing"),
        ("for_sources", "field for_sources is missing"),
        ("against", "field against is missing"),
        ("against_sources", "field against_sources is missing"),
        ("settled_by", "field settled_by is missing"),
    ],
)
def test_each_side_needs_its_words_and_its_sources(field: str, told: str) -> None:
    document = tomllib.loads(SOUND)
    del document["open_point"]["PORTABLE"][field]

    with pytest.raises(RuleError) as caught:
        credit_rules_from(document, FORM_LINES, load_sources(), name="r")

    assert str(caught.value) == f"r: open_point.PORTABLE: {told}"


def test_a_point_of_nothing_is_refused() -> None:
    document = tomllib.loads(SOUND)
    document["open_point"]["LUCK"] = document["open_point"]["PORTABLE"]

    with pytest.raises(RuleError) as caught:
        credit_rules_from(document, FORM_LINES, load_sources(), name="r")

    assert str(caught.value) == "r: open_point.LUCK: is neither a reason nor a cost of this file"


@pytest.mark.parametrize(
    ("put", "told"),
    [
        ({"when": "always"}, "when 'always' is not one of business_share, vehicle_charging"),
        ({"source": "hearsay"}, "'hearsay' is not a key of sources.toml"),
        ({"text": ""}, "text is empty"),
        ({"checked_on": "today"}, "checked_on must be a date"),
        ({"colour": "red"}, "unknown field colour"),
    ],
)
def test_a_broken_line_on_what_is_out_of_scope_is_refused(put: dict[str, str], told: str) -> None:
    document = tomllib.loads(SOUND)
    document["out_of_scope"][0].update(put)

    with pytest.raises(RuleError) as caught:
        credit_rules_from(document, FORM_LINES, load_sources(), name="r")

    assert str(caught.value) == f"r: out_of_scope, entry 1: {told}"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"nonbusiness_share": Decimal("0.99")}, ["business or rental share"]),
        ({"charges_vehicle": True}, ["charges a vehicle"]),
        ({}, []),
    ],
)
def test_other_credits_get_one_line_where_they_matter(
    changes: dict[str, Any], words: list[str]
) -> None:
    told = [one.text for one in answer(**changes).because if "out of scope" in one.text]

    assert len(told) == len(words)
    assert all(word in text for word, text in zip(words, told, strict=True))


@pytest.mark.parametrize("name", CLAIMS)
def test_every_uncertain_answer_names_both_authorities_and_both_amounts(name: str) -> None:
    for one in json.loads(text_of(name)):
        points = one["open_points"]
        assert points if one["status"] == "uncertain" else True
        for point in points:
            for field in ("code", "concerns", "for_text", "for_authority", "against_text",
                          "against_authority", "settled_by", "supposing"):  # fmt: skip
                assert point[field].strip()
            assert 0 <= Decimal(point["amount_against"]) <= Decimal(point["amount_for"])
            assert Decimal(point["amount_for"]) <= Decimal(one["amount_if_uncertain"])
