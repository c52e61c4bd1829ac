"""From a job and its price to facts and costs that add up to what the customer pays."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from credits_job import MATERIALS, make_job, make_price, make_take_off
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.credits.assess import assess_credits
from estimator.credits.facts import claim_facts, cost_lines
from estimator.credits.labour_costs import hours_by_cost
from estimator.credits.records import ClaimFacts, CostLine, CreditAnswer
from estimator.credits.rules_file import load_credit_rules
from estimator.job.records import Job, PanelUpgrade

DAY = date(2025, 10, 1)
ALL_GROUPS = ("materials", "labour", "permit")


def lines(job: Job, **price: Any) -> tuple[CostLine, ...]:
    return cost_lines(job, make_take_off(), make_price(job, **price))


def by_code(costs: tuple[CostLine, ...]) -> dict[tuple[str, str], Decimal]:
    found: dict[tuple[str, str], Decimal] = {}
    for cost in costs:
        key = (cost.code, cost.on)
        found[key] = found.get(key, Decimal(0)) + cost.amount
    return found


def assess(job: Job, **price: Any) -> CreditAnswer:
    (answer,) = assess_credits(claim_facts(job, DAY), lines(job, **price), load_credit_rules(), DAY)
    return answer


def test_the_facts_are_those_of_the_job() -> None:
    job = make_job(site={"residence": "tenant", "built_before_sale": True})

    facts = claim_facts(job, DAY)

    assert facts.supply_kind == "power_station"
    assert (facts.completed_on, facts.planned) == (date(2025, 11, 20), True)
    assert (facts.nameplate_kwh, facts.usable_kwh) == (Decimal("5.4"), Decimal("5.1"))
    assert (facts.residence, facts.newly_built_home, facts.region) == ("tenant", True, "US-OH")
    assert facts.tax_limit == Decimal("4200.00")
    assert facts.incentives == ()


def test_every_fact_of_the_job_reaches_the_claim() -> None:
    upgrade = PanelUpgrade(Decimal("777.00"), 225, ("heat_pump", "vehicle_charger"))
    job = make_job(
        supply={"kind": "battery", "portable": False},
        site={"region": "US-NM"},
        credit_claim={
            "permanently_wired": True,
            "charged_only_by_onsite_solar": True,
            "nonbusiness_share": Decimal("0.7"),
            "carryforward_in": Decimal("1.00"),
            "utility_subsidy": Decimal("2.00"),
            "seller_rebate": Decimal("3.00"),
            "state_incentive": Decimal("4.00"),
            "panel_upgrade": upgrade,
        },
    )

    assert claim_facts(job, DAY) == ClaimFacts(
        supply_kind="battery",
        completed_on=date(2025, 11, 20),
        placed_in_service_on=date(2025, 11, 21),
        paid_on=date(2025, 10, 15),
        planned=True,
        portable=False,
        permanently_wired=True,
        nameplate_kwh=Decimal("5.4"),
        usable_kwh=Decimal("5.1"),
        charged_only_by_onsite_solar=True,
        residence="main_home",
        newly_built_home=False,
        region="US-NM",
        nonbusiness_share=Decimal("0.7"),
        tax_limit=Decimal("4200.00"),
        carryforward_in=Decimal("1.00"),
        utility_subsidy=Decimal("2.00"),
        seller_rebate=Decimal("3.00"),
        state_incentive=Decimal("4.00"),
        panel_cost=Decimal("777.00"),
        panel_amps=225,
        panel_enables=("heat_pump", "vehicle_charger"),
        charges_vehicle=True,
    )
    assert not claim_facts(make_job(), DAY).charges_vehicle


@pytest.mark.parametrize(
    ("today", "planned"), [(date(2025, 11, 19), True), (date(2025, 11, 20), False)]
)
def test_work_is_planned_until_its_day(today: date, planned: bool) -> None:
    assert claim_facts(make_job(), today).planned is planned


def test_without_a_completion_day_nothing_is_planned_or_guessed() -> None:
    facts = claim_facts(make_job(credit_claim={"completed_on": None}), DAY)

    assert facts.completed_on is None
    assert not facts.planned


def test_hours_of_tasks_of_one_cost_are_added_and_without_any_all_is_installing() -> None:
    tasks = (("pvc_small", "1.40"), ("trench", "2.00"), ("permit", "0.60"), ("travel", "9.00"))

    hours = hours_by_cost(make_take_off(tasks).labour)

    assert hours == {"labour_install": Decimal("3.40"), "labour_permit": Decimal("0.60")}
    assert hours_by_cost(make_take_off((("travel", "9.00"),)).labour) == {
        "labour_install": Decimal(1)
    }


@settings(max_examples=150, deadline=None)
@given(
    amounts=st.lists(
        st.tuples(
            st.sampled_from(("transfer_switch", "inlet_box", "wiring_interconnect", "tools")),
            st.none() | st.decimals(0, 900, places=2).map(str),
        ),
        max_size=12,
    ),
    labour=st.decimals(0, 3000, places=2).map(str),
    markup=st.integers(0, 90),
    tax=st.decimals(0, 12, places=2),
    discount=st.decimals(0, 400, places=2),
    taxable=st.sets(st.sampled_from(ALL_GROUPS)).map(tuple),
)
def test_the_lines_add_up_to_the_price_to_the_cent(
    amounts: list[tuple[str, str | None]],
    labour: str,
    markup: int,
    tax: Decimal,
    discount: Decimal,
    taxable: tuple[str, ...],
) -> None:
    job = make_job(
        terms={
            "markup_percent": Decimal(markup),
            "sales_tax_percent": tax,
            "discount": discount,
            "taxable": taxable,
        }
    )
    price = make_price(job, tuple(amounts), labour)

    supply, *rest = cost_lines(job, make_take_off(), price)

    assert supply.amount == Decimal("2450.00")
    assert sum((line.amount for line in rest), Decimal(0)) == price.total
    assert all(line.because for line in rest)


def test_materials_bear_their_share_of_overhead_contingency_and_profit() -> None:
    job = make_job(terms={"taxable": ()})

    shares = by_code(lines(job, materials=(("tools", "10.00"), ("transfer_switch", "30.00"))))

    # 40.00 + 10 % overhead 4.00 + 5 % contingency 2.20 + 25 % markup 11.55 = 57.75
    assert shares["tools", ""] == Decimal("14.44")
    assert shares["transfer_switch", ""] == Decimal("43.31")


def test_sales_tax_stands_on_a_line_for_each_cost_it_was_charged_on() -> None:
    shares = by_code(lines(make_job()))

    taxed = {on for code, on in shares if code == "sales_tax"}
    assert taxed == {code for code, _ in MATERIALS}


def test_labour_is_divided_by_the_hours_of_its_tasks() -> None:
    job = make_job(
        terms={"overhead_percent": Decimal(0), "contingency_percent": Decimal(0),
               "markup_percent": None, "permit_fee": None}
    )  # fmt: skip

    shares = by_code(lines(job, labour_cost="300.00"))

    # 0.6 h on the switch, 1.4 h of conduit, 1.0 h for the permit; the rest is spread.
    assert shares["labour_transfer", ""] == Decimal("60.00")
    assert shares["labour_install", ""] == Decimal("140.00")
    assert shares["labour_permit", ""] == Decimal("100.00")


def test_labour_of_which_no_task_is_known_is_installation() -> None:
    job = make_job()
    take_off = make_take_off((("travel", "1.00"), ("somebody_elses", "2.00")))

    codes = {line.code for line in cost_lines(job, take_off, make_price(job))}

    assert "labour_install" in codes
    assert "labour_transfer" not in codes


def test_own_work_is_own_labour() -> None:
    shares = by_code(lines(make_job(labour={"skill": "own"}), labour_cost="100.00"))

    assert ("own_labour", "") in shares
    assert ("labour_install", "") not in shares


@pytest.mark.parametrize(
    ("supply", "wired", "code"),
    [
        ({"portable": True}, None, "battery_portable"),
        ({"portable": True}, False, "battery_portable"),
        ({"portable": True}, True, "battery_fixed"),
        ({"portable": False}, None, "battery_fixed"),
        ({"portable": False}, False, "battery_portable"),
        ({"kind": "generator"}, True, "generator_fuel"),
    ],
)
def test_the_supply_has_the_code_of_what_it_is(
    supply: dict[str, Any], wired: bool | None, code: str
) -> None:
    job = make_job(supply=supply, credit_claim={"permanently_wired": wired})

    assert lines(job)[0].code == code


def test_a_supply_without_a_price_is_said_to_be_missing() -> None:
    job = make_job(supply={"price": None})

    assert not lines(job)[0].priced
    assert any("base is incomplete" in reason.text for reason in assess(job).because)


def test_parts_without_a_price_leave_a_line_that_says_so() -> None:
    job = make_job()
    materials = (("inlet_box", None), ("inlet_box", None), ("transfer_switch", "300.00"))

    unpriced = [line for line in lines(job, materials=materials) if not line.priced]

    assert [(line.code, line.amount) for line in unpriced] == [("inlet_box", Decimal(0))]
    assert ("parts", "2") in unpriced[0].because[0].figures


def test_a_portable_supply_is_uncertain_with_both_amounts() -> None:
    answer = assess(make_job())

    assert (answer.status, answer.reason_codes, answer.tax_year) == (
        "uncertain",
        ("PORTABLE",),
        2025,
    )
    assert answer.amount == 0
    assert answer.amount_if_uncertain > answer.if_allowed.amount > Decimal(2450) * 3 / 10
    statuses = {line.code: line.status for line in answer.lines}
    assert statuses["wiring_interconnect"] == statuses["labour_install"] == "uncertain"
    assert statuses["tools"] == "not_eligible"


def test_a_fixed_battery_counts_with_wiring_and_labour_but_without_transfer_equipment() -> None:
    job = make_job(credit_claim={"permanently_wired": True})

    answer = assess(job)

    sure = {line.code for line in answer.lines if line.status == "eligible"}
    assert answer.status == "eligible"
    assert {"battery_fixed", "wiring_interconnect", "labour_install"} <= sure
    assert not {"transfer_switch", "inlet_box", "labour_transfer", "permit_inspection"} & sure
    assert answer.base == sum(line.amount for line in answer.lines if line.status == "eligible")


def test_a_generator_gives_nothing_on_any_line() -> None:
    answer = assess(make_job(supply={"kind": "generator"}))

    assert answer.status == "not_eligible"
    assert {line.status for line in answer.lines} == {"not_eligible"}
    assert answer.amount_if_uncertain == 0
