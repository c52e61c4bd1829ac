"""Programmes of one's own: each kind, each limit, and what is asked when a fact is missing."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from credits_programmes import RATE, programme, text, together
from credits_samples import BATTERY, TODAY, cost, facts

from estimator.credits.assess import assess_credits
from estimator.credits.programme_amounts import by_steps
from estimator.credits.programme_facts import read_told
from estimator.credits.programmes import Programme, Tier
from estimator.credits.records import CostLine, CreditAnswer
from estimator.credits.rules_file import load_credit_rules

WIRE = cost("wiring_interconnect", "500.00")
WIRE_TAX = cost("sales_tax", "35.00", on="wiring_interconnect")
TOOLS = cost("tools", "40.00")


def dated(name: str, value: str, **more: str) -> str:
    extra = "".join(f'{key} = "{word}"\n' for key, word in more.items())
    return f'[[{name}]]\nfrom = 2023-01-01\nvalue = "{value}"\n{extra}'


def answers(
    *programmes: Programme,
    costs: tuple[CostLine, ...] = (BATTERY,),
    told: dict[str, str] | None = None,
    today: date = TODAY,
    **changes: Any,
) -> tuple[CreditAnswer, ...]:
    given = read_told((told or {}).items(), programmes)
    return assess_credits(facts(**changes), costs, load_credit_rules(), today, programmes, given)


def own(one: Programme, **more: Any) -> CreditAnswer:
    return answers(one, **more)[1]


def verdict(answer: CreditAnswer) -> tuple[str, tuple[str, ...]]:
    return answer.status, answer.reason_codes


def test_a_percentage_is_of_all_costs_unless_the_file_says_which() -> None:
    costs = (BATTERY, WIRE, WIRE_TAX, TOOLS)

    everything = own(programme(), costs=costs)
    named = own(programme(base_costs='["wiring_interconnect", "sales_tax"]'), costs=costs)
    untaxed = own(programme(base_costs='["wiring_interconnect"]'), costs=costs)
    less = own(programme(left_out='["tools", "sales_tax"]'), costs=costs)

    assert (everything.base, everything.amount) == (Decimal("10575.00"), Decimal("1057.50"))
    assert (named.base, named.amount) == (535, Decimal("53.50"))
    assert untaxed.base == 500
    assert less.base == 10500
    assert [line.status for line in less.lines] == [
        "eligible", "eligible", "not_eligible", "not_eligible",
    ]  # fmt: skip
    assert [line.reason_code for line in less.lines][-1] == "COST_LEFT_OUT"
    assert [line.in_base for line in less.lines] == [True, True, False, False]


@pytest.mark.parametrize(("cap", "amount"), [("999.99", "999.99"), ("1000.01", "1000.00")])
def test_a_cap_holds_the_amount(cap: str, amount: str) -> None:
    answer = own(programme(RATE + dated("cap", cap)))

    assert answer.amount == Decimal(amount)
    assert any("held by the cap" in one.text for one in answer.because) == (cap == "999.99")


def test_a_cap_changes_with_its_dates() -> None:
    caps = (
        '[[cap]]\nfrom = 2023-01-01\nuntil = 2024-04-30\nvalue = "100"\n'
        '[[cap]]\nfrom = 2024-05-01\nvalue = "200"\n'
    )
    one = programme(RATE + caps)

    before = own(one, completed_on=date(2024, 4, 30))
    after = own(one, completed_on=date(2024, 5, 1))

    assert (before.amount, after.amount) == (100, 200)


def test_a_cap_may_be_a_share_of_the_base() -> None:
    answer = own(
        programme(dated("amount", "5000") + dated("cap_share_of_base", "0.4"), kind='"flat"')
    )

    assert answer.amount == 4000


@pytest.mark.parametrize(
    ("kwh", "amount"),
    [("0", "0"), ("4.99", "748.50"), ("5", "750"), ("5.01", "751"), ("15", "1750"), ("99", "1750")],
)
def test_each_step_pays_its_own_amount_per_kwh(kwh: str, amount: str) -> None:
    tiers = (Tier(Decimal(5), Decimal(150)), Tier(Decimal(15), Decimal(100)))

    assert by_steps(Decimal(kwh), tiers) == Decimal(amount)


def test_the_last_step_may_have_no_end() -> None:
    assert by_steps(Decimal(20), (Tier(Decimal(5), Decimal(1)), Tier(None, Decimal(2)))) == 35


def test_an_amount_per_kwh_goes_by_the_capacity_that_the_file_names() -> None:
    tier = dated("tier", "100")

    usable = own(programme(tier, kind='"per_kwh"'))
    nameplate = own(programme(tier, kind='"per_kwh"', kwh_basis='"nameplate"'))
    at_most = own(programme(tier + dated("maximum_kwh", "6"), kind='"per_kwh"'))

    assert (usable.amount, nameplate.amount, at_most.amount) == (900, 1000, 600)
    assert usable.rate == 0


@pytest.mark.parametrize(
    ("tables", "nameplate", "most"),
    [
        (dated("tier", "100"), "10", "1000"),
        (dated("tier", "100", up_to_kwh="4"), None, "400"),
        (dated("tier", "100") + dated("maximum_kwh", "7"), None, "700"),
        (dated("tier", "100"), None, "10000"),
    ],
)
def test_a_capacity_that_is_not_told_is_bounded_by_what_is_known(
    tables: str, nameplate: str | None, most: str
) -> None:
    answer = own(
        programme(tables, kind='"per_kwh"'),
        usable_kwh=None,
        nameplate_kwh=None if nameplate is None else Decimal(nameplate),
    )

    assert verdict(answer) == ("uncertain", ("KWH_UNKNOWN",))
    assert (answer.amount, answer.amount_if_uncertain) == (0, Decimal(most))


@pytest.mark.parametrize(
    ("least", "status"), [("8.99", "eligible"), ("9", "eligible"), ("9.01", "not_eligible")]
)
def test_a_least_capacity_is_held(least: str, status: str) -> None:
    assert own(programme(RATE + dated("minimum_kwh", least))).status == status


def test_a_flat_amount_is_paid_whatever_the_cost() -> None:
    answer = own(programme(dated("amount", "250"), kind='"flat"'))

    assert (answer.amount, answer.rate) == (250, 0)


def test_an_exemption_gives_the_sales_tax_on_what_counts() -> None:
    one = programme(
        dated("rate", "0.5"),
        kind='"sales_tax_exemption"',
        base_costs='["wiring_interconnect", "sales_tax"]',
    )
    tools_tax = cost("sales_tax", "2.80", on="tools")

    answer = own(one, costs=(BATTERY, WIRE, WIRE_TAX, TOOLS, tools_tax))

    assert (answer.base, answer.amount) == (35, Decimal("17.50"))
    assert [line.status for line in answer.lines] == ["not_eligible"] * 2 + ["eligible"] + [
        "not_eligible"
    ] * 2


@pytest.mark.parametrize(
    ("day", "status", "codes"),
    [
        (date(2022, 12, 31), "not_eligible", ("PROGRAMME_NOT_BEGUN",)),
        (date(2023, 1, 1), "eligible", ()),
        (date(2026, 12, 31), "eligible", ()),
        (date(2027, 1, 1), "not_eligible", ("PROGRAMME_ENDED",)),
    ],
)
@pytest.mark.parametrize("basis", ["completed", "paid", "applied"])
def test_the_day_of_its_own_basis_decides(
    basis: str, day: date, status: str, codes: tuple[str, ...]
) -> None:
    days = {"completed_on": date(2024, 5, 1), "paid_on": date(2024, 5, 1)}
    if basis != "applied":
        days[f"{basis}_on"] = day
    told = {"applied_on": day.isoformat()} if basis == "applied" else {}

    answer = own(programme(date_basis=f'"{basis}"'), told=told, **days)

    assert verdict(answer) == (status, codes)
    assert answer.tax_year == day.year
    assert answer.amount == answer.amount_if_uncertain == (1000 if status == "eligible" else 0)


@pytest.mark.parametrize(
    ("today", "amount"), [(date(2020, 1, 1), "1000"), (date(2030, 1, 1), "2000")]
)
def test_a_day_that_is_not_known_is_asked_for_and_supposed_within_the_programme(
    today: date, amount: str
) -> None:
    rates = (
        '[[rate]]\nfrom = 2023-01-01\nuntil = 2025-12-31\nvalue = "0.1"\n'
        '[[rate]]\nfrom = 2026-01-01\nvalue = "0.2"\n'
    )

    answer = own(programme(rates), completed_on=None, today=today)

    assert verdict(answer) == ("uncertain", ("DAY_UNKNOWN",))
    assert answer.amount_if_uncertain == Decimal(amount)
    assert answer.tax_year is None


def test_without_an_end_the_programme_goes_on() -> None:
    assert own(programme(last_day=None), completed_on=date(2099, 1, 1)).status == "eligible"


@pytest.mark.parametrize(
    ("place", "region", "expected"),
    [
        ("US-OH", "US-OH", ("eligible", ())),
        ("US-OH", "US-OR", ("not_eligible", ("OTHER_PLACE",))),
        ("US-OH", "US", ("uncertain", ("PLACE_UNKNOWN",))),
        ("US", "US-OH", ("eligible", ())),
        ("US", "US", ("eligible", ())),
        ("US", "CA-ON", ("not_eligible", ("OTHER_PLACE",))),
        ("CA-ON", "US", ("not_eligible", ("OTHER_PLACE",))),
    ],
)
def test_the_programme_applies_where_it_says(
    place: str, region: str, expected: tuple[str, tuple[str, ...]]
) -> None:
    assert verdict(own(programme(jurisdiction=f'"{place}"'), region=region)) == expected


@pytest.mark.parametrize(
    ("fields", "fact", "unknown", "refused"),
    [
        ({"location_flag": '"in_town"'}, "in_town", "LOCATION_UNKNOWN", "LOCATION_NOT_SERVED"),
        ({"requires_solar": True}, "has_solar", "SOLAR_UNKNOWN", "NO_SOLAR"),
        ({"needs_approval_before_start": True}, "approved_before_start", "APPROVAL_UNKNOWN",
         "NOT_APPROVED"),
        ({"funding_limited": True}, "funds_reserved", "FUNDS_UNKNOWN", "FUNDS_GONE"),
    ],
)  # fmt: skip
def test_a_condition_is_asked_for_met_or_not_met(
    fields: dict[str, Any], fact: str, unknown: str, refused: str
) -> None:
    one = programme(**fields)

    open_, met, not_met = (
        own(one, told=told) for told in ({}, {fact: "yes"}, {f"county_rebate.{fact}": "no"})
    )

    assert verdict(open_) == ("uncertain", (unknown,))
    assert open_.questions[0].startswith("County rebate (invented): ")
    assert (open_.amount, open_.amount_if_uncertain) == (0, 1000)
    assert verdict(met) == ("eligible", ())
    assert verdict(not_met) == ("not_eligible", (refused,))


def test_a_battery_that_is_charged_by_solar_alone_shows_that_there_is_solar() -> None:
    assert (
        own(programme(requires_solar=True), charged_only_by_onsite_solar=True).status == "eligible"
    )


@pytest.mark.parametrize("measure", ["household_income", "percent_of_area_median"])
@pytest.mark.parametrize(
    ("income", "expected"),
    [
        ("80", ("eligible", ())),
        ("80.01", ("not_eligible", ("INCOME_TOO_HIGH",))),
        (None, ("uncertain", ("INCOME_UNKNOWN",))),
    ],
)
def test_an_income_limit_is_held(
    measure: str, income: str | None, expected: tuple[str, tuple[str, ...]]
) -> None:
    one = programme(RATE + dated("income_limit", "80"), income_measure=f'"{measure}"')

    assert verdict(own(one, told={} if income is None else {measure: income})) == expected


CLASSES = dated("rate", "0.1", **{"class": "general"}) + dated("rate", "0.5", **{"class": "equity"})


@pytest.mark.parametrize(
    ("told", "status", "least", "most"),
    [("general", "eligible", 1000, 1000), ("equity", "eligible", 5000, 5000),
     (None, "uncertain", 0, 5000)],
)  # fmt: skip
def test_the_class_of_the_customer_decides_the_rate(
    told: str | None, status: str, least: int, most: int
) -> None:
    answer = own(programme(CLASSES), told={} if told is None else {"customer_class": told})

    assert (answer.status, answer.amount, answer.amount_if_uncertain) == (status, least, most)


def test_a_class_without_a_value_is_not_served_unless_there_is_one_for_everybody() -> None:
    other = text(CLASSES.replace("general", "elderly"), code='"b"', stacking_order="2")
    closed, second = together(text(CLASSES), other)
    open_to_all = programme(CLASSES + RATE)

    answer = answers(closed, second, told={"customer_class": "elderly"})[1]
    everybody = answers(open_to_all, second, told={"customer_class": "elderly"})[1]

    assert verdict(answer) == ("not_eligible", ("CLASS_NOT_SERVED",))
    assert answer.because[0].text == "The programme has nothing for this class of customer."
    assert answer.because[0].figures == (
        ("customer_class", "elderly"), ("classes", "general, equity"),
    )  # fmt: skip
    assert (everybody.status, everybody.amount) == ("eligible", 1000)


def test_an_unknown_class_cannot_be_one_whose_income_limit_is_passed() -> None:
    limits = dated("income_limit", "50", **{"class": "equity"}) + dated(
        "income_limit", "90", **{"class": "general"}
    )
    one = programme(CLASSES + limits, income_measure='"household_income"')

    at, above, beyond = (
        own(one, told={"household_income": income}) for income in ("50", "51", "91")
    )

    assert (at.amount_if_uncertain, above.amount_if_uncertain) == (5000, 1000)
    assert above.reason_codes == ("CLASS_UNKNOWN",)
    assert beyond.reason_codes == ("INCOME_TOO_HIGH",)


def test_an_unknown_class_cannot_be_one_that_asks_for_a_larger_battery() -> None:
    least = dated("minimum_kwh", "9.5", **{"class": "equity"}) + dated("minimum_kwh", "1")

    assert own(programme(CLASSES + least)).amount_if_uncertain == 1000


def test_earlier_programmes_come_off_the_base_of_a_later_one_that_says_so() -> None:
    first, second = together(
        text(), text(code='"b"', stacking_order="2", base_less='["earlier_programmes"]')
    )

    _, one, two = answers(first, second)

    assert (one.amount, two.base, two.amount) == (1000, 9000, 900)


@pytest.mark.parametrize("name", ["utility_subsidy", "seller_rebate", "state_incentive"])
def test_told_incentives_come_off_the_base_where_the_file_says_so(name: str) -> None:
    assert own(programme(base_less=f'["{name}"]'), **{name: Decimal(400)}).base == 9600
    assert own(programme(), **{name: Decimal(400)}).base == 10000
    assert own(programme(base_less=f'["{name}"]'), **{name: Decimal(40000)}).amount == 0


def test_an_earlier_programme_that_is_open_leaves_the_later_one_between_two_amounts() -> None:
    first, second = together(
        text(funding_limited=True),
        text(code='"b"', stacking_order="2", base_less='["earlier_programmes"]'),
    )

    _, _, later = answers(first, second)

    assert (later.status, later.amount, later.amount_if_uncertain) == ("eligible", 900, 1000)
    assert any("stacking order give is open" in one.text for one in later.because)


def test_all_incentives_together_stay_below_their_cap() -> None:
    first, second = together(
        text(),
        text(
            dated("rate", "0.5") + dated("total_incentive_cap_share", "0.4"),
            code='"b"',
            stacking_order="2",
        ),
    )

    _, one, two = answers(first, second, state_incentive=Decimal(600))
    none_left = answers(first, second, state_incentive=Decimal(6000))[2]

    assert (one.amount, two.amount) == (1000, 2400)
    assert none_left.amount == 0


@pytest.mark.parametrize(
    ("effect", "sure", "most"),
    [("subtract", 2700, 2700), ("keep", 3000, 3000), ("ask", 2700, 3000)],
)
def test_a_programme_may_lower_the_base_of_the_federal_credit(
    effect: str, sure: int, most: int
) -> None:
    federal, _ = answers(programme(effect_on_federal_base=f'"{effect}"'))

    assert (federal.amount, federal.amount_if_uncertain) == (sure, most)
    assert federal.status == ("uncertain" if effect == "ask" else "eligible")


def test_what_may_come_off_is_named_with_its_amount() -> None:
    federal, _ = answers(programme(effect_on_federal_base='"ask"'))

    assert federal.because[0].figures == (
        ("incentive", "County rebate (invented)"), ("amount", "1000"),
    )  # fmt: skip


@pytest.mark.parametrize(("least", "most"), [("9", 5000), ("9.01", 1000)])
def test_an_unknown_class_may_be_one_whose_least_capacity_is_just_held(
    least: str, most: int
) -> None:
    limits = dated("minimum_kwh", least, **{"class": "equity"}) + dated("minimum_kwh", "1")

    assert own(programme(CLASSES + limits)).amount_if_uncertain == most


def test_an_unknown_class_may_be_that_of_everybody() -> None:
    one = programme(CLASSES + dated("rate", "0.7"))

    assert own(one).amount_if_uncertain == 7000


def test_a_class_without_an_income_limit_of_its_own_has_none() -> None:
    limits = dated("income_limit", "50", **{"class": "equity"})
    one = programme(CLASSES + limits, income_measure='"household_income"')

    open_ = own(one, told={"household_income": "60"})
    told = own(one, told={"customer_class": "general"})

    assert (open_.reason_codes, open_.amount_if_uncertain) == (("CLASS_UNKNOWN",), 1000)
    assert told.status == "eligible"


def test_a_rebate_that_is_open_lowers_only_the_sure_federal_amount() -> None:
    federal, rebate = answers(programme(funding_limited=True))

    assert (rebate.amount, rebate.amount_if_uncertain) == (0, 1000)
    assert (federal.amount, federal.amount_if_uncertain) == (2700, 3000)


def test_a_rebate_above_the_cost_leaves_no_federal_base() -> None:
    federal, _ = answers(programme(dated("amount", "20000"), kind='"flat"'))

    assert (federal.base, federal.amount) == (0, 0)


def test_a_refused_programme_changes_nothing_federal() -> None:
    federal, _ = answers(programme(effect_on_federal_base='"ask"'), region="US-OR")

    assert (federal.status, federal.amount) == ("eligible", 3000)


@pytest.mark.parametrize(
    ("limit", "years", "amount", "carried"),
    [("400", "5", 400, 600), ("400", "0", 400, 0), ("1000", "5", 1000, 0), (None, "5", 1000, None)],
)
def test_what_is_not_refundable_stops_at_the_tax(
    limit: str | None, years: str, amount: int, carried: int | None
) -> None:
    one = programme(refundable=False, carryforward_years=years)

    answer = own(one, told={} if limit is None else {"tax_limit": limit})

    assert (answer.tentative, answer.amount, answer.carryforward) == (1000, amount, carried)
    assert any("how much tax is left" in one for one in answer.questions) == (limit is None)
    words = "used for 5 more years" if years == "5" else "is lost"
    assert any(words in one.text for one in answer.because)


def test_what_is_refundable_asks_for_no_tax() -> None:
    answer = own(programme(), told={"tax_limit": "1"})

    assert (answer.amount, answer.carryforward, answer.questions) == (1000, 0, ())


def test_costs_without_a_price_are_asked_for_only_where_they_count() -> None:
    costs = (BATTERY, cost("tools", "0", priced=False))

    counted = own(programme(), costs=costs)
    left_out = own(programme(left_out='["tools"]'), costs=costs)

    assert any("price the costs" in one for one in counted.questions)
    assert left_out.questions == ()


@pytest.mark.parametrize(("year", "said"), [(2026, False), (2027, True)])
def test_a_year_for_which_the_file_was_not_checked_says_so(year: int, said: bool) -> None:
    answer = own(programme(last_day=None), completed_on=date(year, 1, 1))

    assert any("not checked for this year" in one.text for one in answer.because) == said


def test_each_open_point_names_its_authority_and_both_amounts() -> None:
    answer = own(programme(funding_limited=True, location_flag='"in_town"'))

    assert len(answer.open_points) == 2
    for point in answer.open_points:
        assert point.for_authority == point.against_authority == "Invented order 1"
        assert (point.amount_against, point.amount_for) == (0, 1000)
        assert "other open points" in point.supposing


def test_papers_of_the_programme_are_named_unless_it_is_refused() -> None:
    one = programme(evidence='["The letter."]')

    assert own(one).evidence == ("The letter.",)
    assert own(one, region="US-OR").evidence == ()
