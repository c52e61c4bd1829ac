"""A programme file that cannot stand is refused with each fault and the line of it."""

import pytest
from credits_golden import SAMPLES
from credits_programmes import RATE, programme, text, together

from estimator.credits.programme_file import MOST_BYTES, MOST_PROGRAMMES, read_programmes
from estimator.credits.rules_file import load_credit_rules
from estimator.finding import InputRefused

TIER = '[[tier]]\nfrom = 2023-01-01\n'  # fmt: skip
PER_KWH = {"kind": '"per_kwh"'}
FAULTS = {
    "not_toml": ("kind =", {}, "a.toml", "is not TOML: Invalid value (at"),
    "unknown_field": (RATE, {"colour": '"red"'}, "line 16", "unknown field colour"),
    "missing_field": (RATE, {"authority": None}, "line 1", "field authority is missing"),
    "empty_name": (RATE, {"programme": '" "'}, "line 1", "programme is empty"),
    "bad_code": (
        RATE,
        {"code": '"County"'},
        "line 2",
        "code 'County' must be small letters, digits and _",
    ),
    "bad_place": (
        RATE,
        {"jurisdiction": '"Ohio"'},
        "line 3",
        "jurisdiction 'Ohio' must be a code such as US-OH",
    ),
    "text_as_day": (RATE, {"checked_on": '"2026"'}, "line 5", "checked_on must be a date"),
    "unknown_kind": (
        RATE,
        {"kind": '"half"'},
        "line 6",
        "kind 'half' is not one of percent, per_kwh, flat, sales_tax_exemption",
    ),
    "unknown_basis": (
        RATE,
        {"date_basis": '"asked"'},
        "line 7",
        "date_basis 'asked' is not one of completed, paid, applied",
    ),
    "ends_before_it_begins": (
        RATE,
        {"last_day": "2022-12-31"},
        "line 9",
        "last_day is before first_day",
    ),
    "order_of_zero": (
        RATE,
        {"stacking_order": "0"},
        "line 10",
        "stacking_order 0 must be at least 1, the place of the first",
    ),
    "order_as_text": (
        RATE,
        {"stacking_order": '"1"'},
        "line 10",
        "stacking_order must be a whole number",
    ),
    "unknown_effect": (
        RATE,
        {"effect_on_federal_base": '"halve"'},
        "line 11",
        "effect_on_federal_base 'halve' is not one of subtract, keep, ask",
    ),
    "flag_as_text": (RATE, {"refundable": '"yes"'}, "line 12", "refundable must be true or false"),
    "carried_though_refundable": (
        RATE,
        {"carryforward_years": "2"},
        "line 13",
        "carryforward_years must be 0 for what is refundable: nothing is left over",
    ),
    "carried_below_zero": (
        RATE,
        {"refundable": False, "carryforward_years": "-1"},
        "line 13",
        "carryforward_years -1 is below zero",
    ),
    "unknown_cost": (
        RATE,
        {"base_costs": '["roof"]'},
        "line 16",
        "base_costs names 'roof', which is not a cost code",
    ),
    "unknown_left_out": (
        RATE,
        {"left_out": '["roof"]'},
        "line 16",
        "left_out names 'roof', which is not a cost code",
    ),
    "unknown_less": (
        RATE,
        {"base_less": '["luck"]'},
        "line 16",
        "base_less names 'luck', not one of earlier_programmes, utility_subsidy, "
        "seller_rebate, state_incentive",
    ),
    "empty_list": (
        RATE,
        {"base_less": "[]"},
        "line 16",
        "base_less must be a list of at least one text",
    ),
    "bad_flag": (
        RATE,
        {"location_flag": '"In town"'},
        "line 16",
        "location_flag 'In town' must be small letters, digits and _",
    ),
    "unknown_measure": (
        RATE,
        {"income_measure": '"wealth"'},
        "line 16",
        "income_measure 'wealth' is not one of household_income, percent_of_area_median",
    ),
    "measure_without_limit": (
        RATE,
        {"income_measure": '"household_income"'},
        "line 16",
        "income_measure has no income_limit to be held against",
    ),
    "limit_without_measure": (
        RATE + '[[income_limit]]\nfrom = 2023-01-01\nvalue = "1"\n',
        {},
        "line 20",
        "income_limit needs income_measure, which says what is measured",
    ),
    "no_rate": ("", {}, "line 1", "field rate is missing"),
    "rate_above_one": (
        RATE.replace("0.10", "1.01"),
        {},
        "line 19, rate",
        "value 1.01 is above 1, which is all of it",
    ),
    "rate_below_zero": (
        RATE.replace("0.10", "-0.10"),
        {},
        "line 19, rate",
        "value -0.10 is below zero",
    ),
    "rate_in_percent": (
        RATE.replace("0.10", "10 %"),
        {},
        "line 19, rate",
        "value '10 %' is not a number",
    ),
    "rate_not_finite": (
        RATE.replace("0.10", "Infinity"),
        {},
        "line 19, rate",
        "value 'Infinity' is not a number",
    ),
    "rate_bare": (RATE.replace('"0.10"', "0.10"), {}, "line 19, rate", "value must be text"),
    "rate_unknown_field": (RATE + 'source = "x"\n', {}, "line 20, rate", "unknown field source"),
    "rate_without_day": (
        '[[rate]]\nvalue = "0.10"\n',
        {},
        "line 17, rate",
        "field from is missing",
    ),
    "rate_starts_late": (
        RATE.replace("2023", "2024"),
        {},
        "line 17, rate",
        "has no value from 2023-01-01 (first_day)",
    ),
    "rate_ends_early": (
        RATE + "until = 2025-12-31\n",
        {},
        "line 17, rate",
        "has no value after 2025-12-31",
    ),
    "rate_ends_before_no_end": (
        RATE + "until = 2025-12-31\n",
        {"last_day": None},
        "line 16, rate",
        "has no value after 2025-12-31",
    ),
    "rate_until_before_from": (
        RATE + "until = 2022-12-31\n",
        {},
        "line 17, rate",
        "until is before from",
    ),
    "rate_gap": (
        RATE + "until = 2024-12-31\n\n" + RATE.replace("2023-01-01", "2025-01-02"),
        {},
        "line 22, rate",
        "leaves a gap after the entry above it",
    ),
    "rate_overlap": (
        RATE + "until = 2024-12-31\n\n" + RATE.replace("2023-01-01", "2024-12-31"),
        {},
        "line 22, rate",
        "starts before the entry above it ends",
    ),
    "rate_twice": (RATE + RATE, {}, "line 20, rate", "starts before the entry above it ends"),
    "rate_as_table": (
        '[rate]\nvalue = "0.1"\n',
        {},
        "line 17",
        "rate must be a list of tables of fields",
    ),
    "rate_empty": ("", {"rate": "[]"}, "line 16", "rate is empty"),
    "rate_of_numbers": ("", {"rate": "[1]"}, "line 1, rate", "is not a table of fields"),
    "cap_below_zero": (
        RATE + '[[cap]]\nfrom = 2023-01-01\nvalue = "-1"\n',
        {},
        "line 22, cap",
        "value -1 is below zero",
    ),
    "cap_share_above_one": (
        RATE + '[[cap_share_of_base]]\nfrom = 2023-01-01\nvalue = "40"\n',
        {},
        "line 22, cap_share_of_base",
        "value 40 is above 1, which is all of it",
    ),
    "total_cap_above_one": (
        RATE + '[[total_incentive_cap_share]]\nfrom = 2023-01-01\nvalue = "1.5"\n',
        {},
        "line 22, total_incentive_cap_share",
        "value 1.5 is above 1, which is all of it",
    ),
    "flat_without_amount": ("", {"kind": '"flat"'}, "line 1", "field amount is missing"),
    "rate_for_a_flat_amount": (
        RATE + '[[amount]]\nfrom = 2023-01-01\nvalue = "1"\n',
        {"kind": '"flat"'},
        "line 17",
        "unknown field rate",
    ),
    "tiers_out_of_order": (
        TIER + 'up_to_kwh = "5"\nvalue = "2"\n' + TIER + 'up_to_kwh = "5"\nvalue = "1"\n',
        PER_KWH,
        "line 21, tier",
        "up_to_kwh 5 is not above the step before it",
    ),
    "tier_after_the_last": (
        TIER + 'value = "2"\n' + TIER + 'up_to_kwh = "5"\nvalue = "1"\n',
        PER_KWH,
        "line 17, tier",
        "only the last step may have no up_to_kwh",
    ),
    "tier_of_another_end": (
        TIER + 'up_to_kwh = "5"\nvalue = "2"\n' + TIER + 'until = 2026-12-31\nvalue = "1"\n',
        PER_KWH,
        "line 21, tier",
        "until differs from that of the step before it",
    ),
    "tier_of_nothing": (
        TIER + 'up_to_kwh = "0"\nvalue = "2"\n',
        PER_KWH,
        "line 17, tier",
        "up_to_kwh 0 is not above the step before it",
    ),
    "unknown_kwh_basis": (
        TIER + 'value = "2"\n',
        {**PER_KWH, "kwh_basis": '"gross"'},
        "line 16",
        "kwh_basis 'gross' is not one of usable, nameplate",
    ),
    "solar_as_text": (
        RATE,
        {"requires_solar": '"yes"'},
        "line 16",
        "requires_solar must be true or false",
    ),
}


def refused(*files: tuple[str, bytes]) -> list[tuple[str, str]]:
    with pytest.raises(InputRefused) as caught:
        read_programmes(files, load_credit_rules().costs)
    assert caught.value.what == "programme"
    return [(fault.where, fault.message) for fault in caught.value.faults]


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_told_with_its_line_and_nothing_else_is(name: str) -> None:
    tables, fields, line, told = FAULTS[name]

    (where, message), *others = refused(("a.toml", text(tables, **fields).encode()))

    # What is no table at all has none of the fields either.
    assert not others or name == "rate_of_numbers"
    assert where in (f"a.toml, {line}", line)
    assert message == told or (name == "not_toml" and message.startswith(told))


def test_every_fault_of_every_file_is_told_at_once() -> None:
    one = text(RATE.replace("0.10", "3"), refundable='"no"')
    two = text(stacking_order="0")

    faults = refused(("one.toml", one.encode()), ("two.toml", two.encode()))

    assert [where for where, _ in faults] == [
        "one.toml, line 12",
        "one.toml, line 19, rate",
        "two.toml, line 10",
    ]


def test_two_that_claim_the_same_place_are_refused() -> None:
    other = text(code='"town_rebate"')

    ((where, message),) = refused(("a.toml", text().encode()), ("b.toml", other.encode()))

    assert where == "b.toml, stacking_order"
    assert message == (
        "place 1 is also claimed by a.toml; which comes first decides the amounts, so give each "
        "programme a place of its own"
    )


def test_two_of_one_code_are_refused() -> None:
    other = text(stacking_order="2")

    faults = refused(("a.toml", text().encode()), ("b.toml", other.encode()))

    assert faults == [
        ("b.toml, code", "'county_rebate' is also the code of a.toml; give each its own")
    ]


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"\xff\xfe", "is not UTF-8 text; save the programme as TOML in UTF-8"),
        (b" " * (MOST_BYTES + 1), "holds 200001 bytes; 200000 at most"),
        (b"a = " + b"[" * 5000, "is not TOML: "),
    ],
)
def test_bytes_that_are_no_programme_are_refused(data: bytes, told: str) -> None:
    ((where, message),) = refused(("a.toml", data))

    assert where == "a.toml"
    assert message.startswith(told)


def test_the_largest_file_is_read() -> None:
    filled = text().encode() + b"#"

    read = read_programmes([("a.toml", filled.ljust(MOST_BYTES, b"x"))], load_credit_rules().costs)

    assert len(read) == 1


def test_no_more_than_twenty_are_read() -> None:
    one = ("a.toml", text().encode())

    assert refused(*[one] * (MOST_PROGRAMMES + 1)) == [("", "21 programme files; 20 at most")]
    # At the limit they are read, and clash.
    assert len(refused(*[one] * MOST_PROGRAMMES)) == 2 * (MOST_PROGRAMMES - 1)


def test_they_come_in_their_stacking_order() -> None:
    first, second = together(
        text(code='"late"', stacking_order="7"), text(code='"early"', stacking_order="2")
    )

    assert (first.code, second.code) == ("early", "late")


def test_what_is_left_out_has_a_plain_meaning() -> None:
    one = programme(last_day=None)

    assert one.last_day is None
    assert (one.requires_solar, one.location_flag, one.income_measure) == (False, "", None)
    assert one.kwh_basis == "usable"
    assert one.base_costs == one.left_out == frozenset()
    assert one.base_less == one.evidence == one.classes == ()
    assert one.open_to_all
    assert not one.needs_kwh


def test_a_file_with_windows_line_ends_and_a_mark_is_read() -> None:
    data = b"\xef\xbb\xbf" + text().replace("\n", "\r\n").encode()

    assert read_programmes([("a.toml", data)], load_credit_rules().costs)[0].stacking_order == 1


def test_a_programme_of_a_single_day_is_read_and_each_of_its_values_may_be() -> None:
    day = "2023-01-01"
    tables = (
        f'[[rate]]\nfrom = {day}\nuntil = {day}\nvalue = "0"\n[[cap]]\nfrom = {day}\nvalue = "0"\n'
    )

    one = programme(tables, first_day=day, last_day=day)

    assert one.first_day == one.last_day
    assert one.amounts[""].spans[0].until == one.last_day


@pytest.mark.parametrize("end", ["0.5", "1"])
def test_a_step_may_end_anywhere_above_zero(end: str) -> None:
    tiers = TIER + f'up_to_kwh = "{end}"\nuntil = 2026-12-31\nvalue = "2"\n'

    (span,) = programme(tiers, **PER_KWH).tiers[""].spans

    assert str(span.value[0].up_to_kwh) == end
    assert span.until is not None


def test_an_amount_per_kwh_may_change_from_one_day_to_the_next() -> None:
    first = TIER + 'until = 2023-12-31\nup_to_kwh = "5"\nvalue = "2"\n'
    second = '[[tier]]\nfrom = 2024-01-01\nup_to_kwh = "5"\nvalue = "1"\n'

    spans = programme(first + second, **PER_KWH).tiers[""].spans

    assert [str(span.value[0].per_kwh) for span in spans] == ["2", "1"]


def test_quotes_around_names_do_not_hide_their_lines() -> None:
    tables = RATE.replace("[[rate]]", '[["rate"]]').replace("value", '"value"').replace("0.1", "9")

    ((where, _),) = refused(("a.toml", text(tables).encode()))

    assert where == "a.toml, line 19, rate"


def test_a_year_to_carry_on_is_one_too_many_for_what_is_refundable() -> None:
    ((_, message),) = refused(("a.toml", text(carryforward_years="1").encode()))

    assert message.startswith("carryforward_years must be 0")


def test_the_samples_are_marked_as_invented_and_read_together() -> None:
    files = [(path.name, path.read_bytes()) for path in sorted(SAMPLES.glob("*.toml"))]

    read = read_programmes(files, load_credit_rules().costs)

    assert [one.stacking_order for one in read] == [1, 2, 3]
    assert {one.kind for one in read} == {"per_kwh", "percent", "sales_tax_exemption"}
    assert all("invented" in one.name.lower() for one in read)
