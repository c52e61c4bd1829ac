"""The same job completed in each year, and what one year leaves for the next."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from credits_programmes import programme
from credits_samples import BATTERY, TODAY, cost, facts

from estimator.credits.assess import assess_credits
from estimator.credits.chain import (
    NO_LIMIT_BEFORE,
    OPEN_BEFORE,
    ClaimOfYear,
    LinkOfYear,
    carry_through,
    only_carried_in,
    years_after,
)
from estimator.credits.records import ClaimFacts
from estimator.credits.rules_file import load_credit_rules
from estimator.credits.year_table import CreditYear, credits_by_year
from estimator.finding import InputRefused
from estimator.published.dated import RuleGap

RULES = load_credit_rules()


def table(programmes: tuple[Any, ...] = (), **changes: Any) -> tuple[CreditYear, ...]:
    years = {name: changes.pop(name) for name in ("first", "last") if name in changes}
    told = changes.pop("told", {})
    return credits_by_year(facts(**changes), (BATTERY,), RULES, TODAY, programmes, told, **years)


def federal(rows: tuple[CreditYear, ...]) -> dict[int, tuple[str, Decimal]]:
    return {row.year: (row.programmes[0].status, row.programmes[0].amount) for row in rows}


def test_the_table_runs_from_2020_to_2030_and_counts_from_2023_to_2025() -> None:
    rows = table()

    assert [row.year for row in rows] == list(range(2020, 2031))
    for year, found in federal(rows).items():
        inside = 2023 <= year <= 2025
        assert found == (("eligible", 3000) if inside else ("not_eligible", 0))
    assert {(row.completed_on.month, row.completed_on.day) for row in rows} == {(5, 1)}


def test_each_change_says_why_and_nothing_else_does() -> None:
    rows = table()

    changes = {row.year: row.programmes[0].change for row in rows if row.programmes[0].change}
    assert changes == {
        2023: "from not eligible to eligible: The costs marked eligible count at 30 %.",
        2026: "from eligible to not eligible: The credit ended: nothing is given when the "
        "installation is completed (or a newly built home is first lived in) after 2025-12-31, "
        "even if it was paid for before.",
    }
    assert rows[0].programmes[0].why == (
        "Completed before 2023-01-01: a battery did not yet count by itself."
    )


def test_a_change_of_rate_is_told_while_the_claim_is_open() -> None:
    rows = table(charged_only_by_onsite_solar=True, last=2022)

    assert [row.programmes[0].change for row in rows] == [
        "", "", "the rate goes from 26 % to 30 %",
    ]  # fmt: skip
    assert [row.total_if_uncertain for row in rows] == [2600, 2600, 3000]
    assert [row.total for row in rows] == [0, 0, 0]


def test_a_change_of_reason_alone_is_told() -> None:
    rows = table(nameplate_kwh=Decimal(2), usable_kwh=None, first=2022, last=2023)

    assert rows[1].programmes[0].change == (
        "for another reason: The capacity is below the least that the law asks for."
    )


def test_a_change_of_cap_alone_is_told() -> None:
    one = programme(
        '[[rate]]\nfrom = 2023-01-01\nvalue = "0.1"\n'
        '[[cap]]\nfrom = 2023-01-01\nuntil = 2023-12-31\nvalue = "500"\n'
        '[[cap]]\nfrom = 2024-01-01\nvalue = "700"\n'
    )

    rows = table((one,), first=2023, last=2025)

    assert [row.programmes[1].change for row in rows] == [
        "", "another amount or cap holds; the credit goes from 500.00 to 700.00", "",
    ]  # fmt: skip
    assert [row.total for row in rows] == [3350, 3490, 3490]


STEPS = (
    '[[rate]]\nfrom = 2023-01-01\nvalue = "0.1"\n'
    '[[cap]]\nfrom = 2023-01-01\nuntil = 2023-12-31\nvalue = "500"\n'
    '[[cap]]\nfrom = 2024-01-01\nvalue = "700"\n'
)


def test_what_another_programme_takes_off_the_base_is_told_with_both_bases() -> None:
    rows = table((programme(STEPS),), first=2023, last=2025)

    # 10000 less 500, then less 700, at 30 %.
    assert [row.programmes[0].amount for row in rows] == [2850, 2790, 2790]
    assert [row.programmes[0].change for row in rows] == [
        "",
        "another sum comes off the costs; the base goes from 9,500.00 to 9,300.00",
        "",
    ]


def test_while_a_claim_is_open_the_allowed_reading_tells_what_changes() -> None:
    rows = table((programme(STEPS),), first=2023, last=2024, permanently_wired=None)

    assert rows[1].programmes[0].status == "uncertain"
    assert rows[1].programmes[0].change == (
        "another sum comes off the costs; the base goes from 9,500.00 to 9,300.00"
    )


def test_an_open_programme_moves_only_the_sure_part_of_a_sure_claim() -> None:
    open_one = programme(STEPS, funding_limited=True)

    rows = table((open_one,), first=2023, last=2024)

    assert [row.programmes[0].amount_if_uncertain for row in rows] == [3000, 3000]
    assert rows[1].programmes[0].change == (
        "another sum comes off the costs; the base goes from 9,500.00 to 9,300.00"
    )


def test_what_the_tax_leaves_after_the_panel_is_told() -> None:
    panel = {"panel_cost": Decimal(2000), "panel_amps": 200, "panel_enables": ("heat_pump",)}
    told = {"other_improvement_credits": Decimal(0)}

    rows = table(told=told, first=2025, last=2026, tax_limit=Decimal(1000), **panel)

    # The panel takes its 600 first, so the battery can use 400; in 2026 neither is given.
    assert [one.amount for one in rows[0].programmes] == [400, 600]
    assert (rows[0].total, rows[1].total) == (1000, 0)


def test_what_a_panel_takes_of_the_tax_is_told_for_property_that_goes_on() -> None:
    panel = {"panel_cost": Decimal(2000), "panel_amps": 200, "panel_enables": ("heat_pump",)}
    solar = cost("other_clean_energy", "10000.00")
    told = facts(supply_kind="none", tax_limit=Decimal(1000), **panel)
    others = {"other_improvement_credits": Decimal(0)}

    rows = credits_by_year(told, (solar,), RULES, TODAY, (), others, first=2022, last=2023)

    assert [row.programmes[0].amount for row in rows] == [1000, 400]
    assert rows[1].programmes[0].change == (
        "the tax leaves another sum for it; what can be used goes from 1,000.00 to 400.00"
    )


def test_together_one_programme_that_pays_lowers_the_other() -> None:
    open_one = programme(funding_limited=True)

    (row,) = table((open_one,), first=2024, last=2024)

    # Each by itself at most 3000 and 1000; both together 30 % of 9000, and 1000.
    assert [one.amount_if_uncertain for one in row.programmes] == [3000, 1000]
    assert (row.total, row.total_if_uncertain) == (2700, 3700)


def test_years_that_were_not_checked_are_marked_by_the_rules_of_each_programme() -> None:
    rows = table((programme(last_day=None, checked_on="2028-02-01"),), panel_cost=Decimal(1))

    federal_ones = [row.year for row in rows if not row.programmes[0].checked]
    panel = [row.year for row in rows if not row.programmes[1].checked]
    own = [row.year for row in rows if not row.programmes[2].checked]
    assert federal_ones == panel == [2027, 2028, 2029, 2030]
    assert own == [2029, 2030]


def test_nothing_is_carried_in_and_the_day_of_paying_and_applying_goes_along() -> None:
    paid = programme(date_basis='"paid"', first_day="2024-01-01", last_day="2024-12-31",
                     tables='[[rate]]\nfrom = 2024-01-01\nvalue = "0.1"\n')  # fmt: skip
    applied = programme(date_basis='"applied"', code='"b"')
    told = {"b.applied_on": date(2020, 1, 1)}

    rows = table((paid, applied), told=told, carryforward_in=Decimal(900), first=2023, last=2027)

    assert [row.programmes[1].status for row in rows] == [
        "not_eligible", "eligible", "not_eligible", "not_eligible", "not_eligible",
    ]  # fmt: skip
    assert [row.programmes[2].status for row in rows] == ["eligible"] * 4 + ["not_eligible"]
    assert rows[4].programmes[0].amount == 0


def test_a_day_of_application_that_is_not_told_is_that_of_the_year() -> None:
    rows = table((programme(date_basis='"applied"'),), first=2024, last=2024)

    assert rows[0].programmes[1].status == "eligible"


def test_without_a_day_the_middle_of_the_year_is_supposed() -> None:
    rows = table(completed_on=None, first=2024, last=2024)

    assert rows[0].completed_on == date(2024, 6, 30)
    assert federal(rows) == {2024: ("eligible", 3000)}


def test_a_year_is_planned_only_when_its_day_lies_ahead() -> None:
    one = programme(last_day=None)
    rows = [
        credits_by_year(facts(completed_on=day), (BATTERY,), RULES, date(2025, 5, 1), (one,),
                        first=2025, last=2025)[0]
        for day in (date(2024, 5, 1), date(2024, 5, 2))
    ]  # fmt: skip

    assert [row.programmes[0].status for row in rows] == ["eligible", "eligible"]
    assert [row.completed_on.day for row in rows] == [1, 2]


def test_several_reasons_are_told_one_after_the_other() -> None:
    rows = table(residence="rented_out", permanently_wired=False, first=2024, last=2024)

    why = rows[0].programmes[0].why
    assert why.startswith("A home that is let for a part of the year")
    assert " for a second home that is not let. The unit is not permanently wired." in why


def test_a_leap_day_becomes_the_day_before_it() -> None:
    rows = table(completed_on=date(2024, 2, 29), first=2023, last=2024)

    assert [row.completed_on for row in rows] == [date(2023, 2, 28), date(2024, 2, 28)]


@pytest.mark.parametrize(("first", "said"), [(2006, True), (2005, False)])
def test_a_year_before_the_first_of_the_rules_is_an_error(first: int, said: bool) -> None:
    if said:
        assert len(table(first=first, last=2006)) == 1
        return

    with pytest.raises(RuleGap) as caught:
        table(first=first, last=2006)

    assert str(caught.value) == (
        "The rules of Residential clean energy credit, battery storage begin on 2006-01-01; they "
        "say nothing of 2005. Ask for years from 2006 on."
    )


def year_2025(**changes: Any) -> ClaimOfYear:
    day = date(2025, 3, 15)
    told = facts(**{"completed_on": day, "placed_in_service_on": day, **changes})
    return ClaimOfYear(2025, told, (cost("battery_fixed", "15000"),))


def idle(year: int, limit: str | None) -> ClaimOfYear:
    return only_carried_in(facts(), year, None if limit is None else Decimal(limit))


def test_what_is_left_over_is_used_year_by_year() -> None:
    links = carry_through(
        [year_2025(tax_limit=Decimal(1800)), idle(2026, "2000"), idle(2027, "2000")], RULES, TODAY
    )

    assert [(link.carried_in, link.amount, link.carryforward) for link in links] == [
        (0, 1800, 2700),
        (2700, 2000, 700),
        # No form of 2027 was seen: nothing is sure, all of it is kept.
        (700, 0, 700),
    ]
    assert [(one.amount_if_uncertain, one.carryforward_if_uncertain) for one in links] == [
        (1800, 2700), (2000, 700), (700, 0),
    ]  # fmt: skip
    assert [one.answer.status for one in links] == ["eligible", "eligible", "uncertain"]
    assert [one.year for one in links] == [2025, 2026, 2027]
    assert {one.note for one in links} == {""}


def test_an_open_claim_leaves_two_chains() -> None:
    links = carry_through(
        [year_2025(tax_limit=Decimal(1800), residence="rented_out"), idle(2026, "2000")],
        RULES, TODAY,
    )  # fmt: skip

    assert (links[1].carried_in, links[1].carried_in_if_uncertain) == (0, 2700)
    assert (links[1].amount, links[1].amount_if_uncertain) == (0, 2000)
    assert (links[1].carryforward, links[1].carryforward_if_uncertain) == (0, 700)


def test_the_first_claim_brings_what_it_carried_in() -> None:
    (link,) = carry_through(
        [year_2025(tax_limit=Decimal(5000), carryforward_in=Decimal(100))], RULES, TODAY
    )

    assert (link.carried_in, link.carried_in_if_uncertain) == (100, 100)
    assert (link.amount, link.carryforward) == (4600, 0)


def test_without_the_tax_of_a_year_what_it_leaves_is_not_known() -> None:
    links = carry_through([year_2025(tax_limit=None), idle(2026, "2000")], RULES, TODAY)

    assert links[0].carryforward is None
    assert (links[1].carried_in, links[1].carried_in_if_uncertain) == (None, None)
    assert (links[1].amount, links[1].note) == (0, NO_LIMIT_BEFORE)
    assert "not known" in NO_LIMIT_BEFORE


def test_a_year_of_only_carrying_claims_nothing_new() -> None:
    claim = only_carried_in(
        facts(
            utility_subsidy=Decimal(5), seller_rebate=Decimal(5), state_incentive=Decimal(5),
            other_incentives=(("luck", Decimal(5)),), panel_cost=Decimal(5), planned=True,
        ),
        2026, Decimal(7),
    )  # fmt: skip

    told: ClaimFacts = claim.facts
    assert (claim.year, told.claim_year, claim.costs) == (2026, 2026, ())
    assert told.incentives == ()
    assert (told.supply_kind, told.tax_limit, told.panel_cost) == ("none", 7, 0)
    assert told.completed_on is told.placed_in_service_on is told.paid_on is None
    assert not told.planned


def after(claim: ClaimOfYear, *taxes: str) -> tuple[LinkOfYear, ...]:
    answer = assess_credits(claim.facts, claim.costs, RULES, TODAY)[0]
    return years_after(answer, claim.facts, [Decimal(tax) for tax in taxes], RULES, TODAY)


def test_the_years_after_a_claim_are_those_of_the_chain() -> None:
    claim = year_2025(tax_limit=Decimal(1800), residence="rented_out", panel_cost=Decimal(0))
    chain = carry_through([claim, idle(2026, "2000"), idle(2027, "100")], RULES, TODAY)

    assert after(claim, "2000", "100") == chain[1:]


def test_the_years_after_end_where_nothing_is_left_under_either_reading() -> None:
    sure = after(year_2025(tax_limit=Decimal(1800)), "2000", "700", "5", "5")
    nothing = after(year_2025(tax_limit=Decimal(9000)), "2000")

    # 30 % of 15,000 less 1,800 leaves 2,700; 2026 takes 2,000; of 2027 nothing is sure.
    assert [(link.year, link.carryforward) for link in sure] == [
        (2026, 700), (2027, 700), (2028, 700), (2029, 700),
    ]  # fmt: skip
    assert [link.carryforward_if_uncertain for link in sure] == [700, 0, 0, 0]
    assert nothing == ()


def test_a_claim_without_a_year_has_no_years_after() -> None:
    assert after(year_2025(completed_on=None), "2000") == ()


def test_without_the_tax_of_the_claim_the_year_after_says_what_is_missing() -> None:
    (link,) = after(year_2025(tax_limit=None), "2000", "2000")

    assert (link.year, link.carried_in, link.amount) == (2026, None, 0)
    assert link.status == "not_eligible"
    assert link.open_because == NO_LIMIT_BEFORE


def test_a_year_after_says_what_keeps_the_higher_amount_from_being_sure() -> None:
    certain = after(year_2025(tax_limit=Decimal(1800)), "2000", "700")
    open_claim = after(year_2025(tax_limit=Decimal(1800), residence="rented_out"), "2000", "700")
    no_form = RULES.reasons["FUTURE_YEAR"].because.text

    assert [link.status for link in certain] == ["eligible", "uncertain"]
    assert [link.open_because for link in certain] == ["", no_form]
    assert certain[0].why == tuple(reason.text for reason in certain[0].answer.because)
    assert [link.status for link in open_claim] == ["uncertain", "uncertain"]
    assert [link.open_because for link in open_claim] == [OPEN_BEFORE, f"{OPEN_BEFORE} {no_form}"]
    # The reasons are those of the higher reading: in the sure one there is nothing to say.
    assert no_form in open_claim[1].why
    assert open_claim[1].answer.status == "not_eligible"


def test_panel_work_takes_no_part_in_the_chain() -> None:
    claim = year_2025(
        tax_limit=Decimal(1000), panel_cost=Decimal(2000), panel_amps=200,
        panel_enables=("heat_pump",),
    )  # fmt: skip

    assert carry_through([claim], RULES, TODAY)[0].amount == 1000


@pytest.mark.parametrize(
    ("claims", "where", "told"),
    [
        (
            [idle(2025, "1"), idle(2027, "1")],
            "/claims/1/year",
            "2027 does not follow 2025; what is left over goes to the next year, so give every "
            "year, one with nothing new too",
        ),
        ([idle(2026, "1"), idle(2025, "1")], "/claims/1/year", "2025 does not follow 2026"),
        ([idle(2005, "1")], "/claims/0/year", "2005 lies before 2006, the first of the rules"),
        (
            [ClaimOfYear(2024, year_2025().facts)],
            "/claims/0/year",
            "the work was completed in 2025, which is the year of its credit",
        ),
    ],
)
def test_a_chain_with_a_broken_order_is_refused(
    claims: list[ClaimOfYear], where: str, told: str
) -> None:
    with pytest.raises(InputRefused) as caught:
        carry_through(claims, RULES, TODAY)

    (fault,) = caught.value.faults
    assert (caught.value.what, fault.where) == ("claims by year", where)
    assert fault.message.startswith(told)


def test_every_fault_of_a_chain_is_told_and_the_first_year_of_the_rules_is_none() -> None:
    with pytest.raises(InputRefused) as caught:
        carry_through([idle(2004, "1"), idle(2006, "1")], RULES, TODAY)

    assert [one.where for one in caught.value.faults] == ["/claims/0/year", "/claims/1/year"]
    assert carry_through([idle(2006, "1")], RULES, TODAY)[0].year == 2006


def test_a_newly_built_home_counts_in_the_year_of_moving_in() -> None:
    told = facts(
        newly_built_home=True, completed_on=date(2024, 11, 20),
        placed_in_service_on=date(2025, 2, 1), tax_limit=Decimal(5000),
    )  # fmt: skip

    (link,) = carry_through([ClaimOfYear(2025, told, (BATTERY,))], RULES, TODAY)

    assert (link.amount, link.answer.tax_year) == (3000, 2025)
