"""Doing it oneself: hours, tools, and what the credit rules get to see."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

import pytest
from compare_factory import (
    TOOLS,
    compare,
    cost_of,
    make_estimated,
    make_job,
    make_take_off,
    make_task,
    make_tool,
    money,
    thirty_percent_of,
)

from estimator.credits.records import CostLine, CreditTotal
from estimator.job.records import Job
from estimator.money import ZERO

BOUGHT_OR_RENTED = [
    (make_tool("drill", "110", "25"), "rent", "25"),
    (make_tool("drill", "24.99", "25"), "buy", "24.99"),
    (make_tool("drill", "25", "25"), "buy", "25"),
    (make_tool("drill", "25.01", "25"), "rent", "25"),
    (make_tool("drill", "49", "25", days=2), "buy", "49"),
    (make_tool("drill", "51", "25", days=2), "rent", "50"),
    (make_tool("drill", "110"), "buy", "110"),
    (make_tool("drill", "110", "25", owned=True), "owned", "0"),
]


@pytest.mark.parametrize(("tool", "how", "cost"), BOUGHT_OR_RENTED)
def test_a_tool_is_had_the_cheaper_way(tool: object, how: str, cost: str) -> None:
    own = compare(taken=make_take_off(tools=(tool,)))["own"]

    (choice,) = own.tools
    assert (choice.how, choice.likely) == (how, Decimal(cost))


def test_a_rented_tool_may_be_kept_a_day_longer() -> None:
    own = compare(taken=make_take_off(tools=(make_tool("drill", "110", "25"),)))["own"]

    assert (own.tools[0].low, own.tools[0].high) == (Decimal(25), Decimal(50))


def test_tools_at_hand_cost_nothing() -> None:
    owned = tuple(replace(tool, owned=True) for tool in TOOLS)

    own = compare(taken=make_take_off(tools=owned))["own"]

    assert cost_of(own, "tools") == ZERO
    assert own.cash_cost == Decimal("2970.04") - Decimal("80.44")


def test_tool_prices_are_not_known_in_another_currency() -> None:
    job = make_job(terms={"currency": "CAD"})

    ways = compare(job)

    assert cost_of(ways["own"], "tools") == ZERO
    assert "what tools cost is known in USD only" in ways["own"].not_known
    assert "what extension cords cost is known in USD only" in ways["cords_only"].not_known
    assert not ways["own"].complete


def test_own_labour_is_in_no_cost_that_the_credit_rules_see() -> None:
    seen: list[tuple[str, set[str]]] = []

    def credit_of(job: Job, costs: Sequence[CostLine]) -> CreditTotal:
        seen.append((job.labour.skill, {cost.judged_as for cost in costs}))
        return money(ZERO)

    compare(credit_of=credit_of)

    hired, own, cords = seen
    assert any(code.startswith("labour") for code in hired[1])
    assert own[0] == "own"
    assert not any("labour" in code for code in own[1])
    assert {"tools", "transfer_switch", "permit_inspection", "battery_portable"} <= own[1]
    assert cords[1] == {"battery_portable", "cord_set"}


def test_the_cost_lines_add_up_to_the_cash_cost() -> None:
    seen: list[Decimal] = []

    def credit_of(job: Job, costs: Sequence[CostLine]) -> CreditTotal:
        seen.append(sum((cost.amount for cost in costs), ZERO))
        return money(ZERO)

    ways = compare(credit_of=credit_of)

    assert seen == [ways["hire"].cash_cost, ways["own"].cash_cost, ways["cords_only"].cash_cost]


def test_each_way_has_the_credit_of_its_own_costs() -> None:
    ways = compare(credit_of=thirty_percent_of("battery_portable", "transfer_switch"))

    # 30 % of 2450 + 300 x 1.0725 = 2771.75; hiring pays more for the same switch.
    assert ways["own"].credit == Decimal("831.53")
    assert ways["hire"].credit > ways["own"].credit
    assert ways["cords_only"].credit == Decimal("735.00")
    own = ways["own"]
    assert own.cost_after_credit == own.cash_cost - own.credit


def test_the_credit_if_allowed_stands_beside_the_sure_one() -> None:
    ways = compare(credit_of=lambda job, costs: money(ZERO, Decimal("500.00")))

    own = ways["own"]
    assert (own.credit, own.credit_if_allowed) == (ZERO, Decimal("500.00"))
    assert own.cost_after_credit == own.cash_cost
    assert own.cost_after_credit_if_allowed == own.cash_cost - Decimal("500.00")


@pytest.mark.parametrize(
    "told", [{"carryforward_in": "900.00"}, {"panel_upgrade": {"cost": "1500.00", "amps": 200}}]
)
def test_what_would_be_there_anyhow_is_told_to_be_in_no_way(told: dict[str, object]) -> None:
    words = "are in no way"

    with_it, without = compare(make_job(credit_claim=told)), compare()

    for name, way in with_it.items():
        assert any(words in reason.text for reason in way.because)
        assert not any(words in reason.text for reason in without[name].because)
        assert way.cash_cost == without[name].cash_cost


def test_priced_by_use_own_work_still_pays_for_whole_packs() -> None:
    ways = compare(make_job(terms={"price_by": "use"}))

    assert cost_of(ways["own"], "materials") == Decimal("354.60")


@pytest.mark.parametrize("taxable", [[], ["labour"], ["materials", "labour", "permit"]])
def test_own_work_pays_sales_tax_on_materials_whatever_a_contractor_taxes(
    taxable: list[str],
) -> None:
    own = compare(make_job(terms={"taxable": taxable}))["own"]

    assert own.cash_cost == Decimal("2970.04")


def test_discount_overhead_and_contingency_are_the_contractors() -> None:
    terms = {"discount": "50.00", "overhead_percent": 30, "contingency_percent": 10}

    own = compare(make_job(terms=terms))["own"]

    assert own.cash_cost == Decimal("2970.04")


@pytest.mark.parametrize(("speed", "hours"), [("1", "2.00"), ("2.5", "3.50"), ("4", "5.00")])
def test_the_own_speed_factor_stretches_what_is_learned(speed: str, hours: str) -> None:
    own = compare(make_job(comparison={"own_speed_factor": speed}))["own"]

    assert own.hours == Decimal(hours)


def test_a_take_off_for_own_work_is_not_stretched_twice() -> None:
    tasks = (
        make_task("mount_switch_surface", "1.44", "2.50", "6.00"),
        make_task("inspection", "0.50", "1.00", "2.50"),
    )
    job = make_job(labour={"skill": "own"})

    own = compare(job, make_take_off(labour=tasks), hired=make_estimated(make_job()))["own"]

    assert (own.hours_low, own.hours, own.hours_high) == (
        Decimal("1.94"),
        Decimal("3.50"),
        Decimal("8.50"),
    )


def test_the_top_up_to_a_minimum_call_out_is_no_own_work() -> None:
    tasks = (
        make_task("mount_switch_surface", "0.80", "1.00", "1.50"),
        make_task("minimum_call_out", "1.20", "1.00", "0.50"),
    )

    own = compare(taken=make_take_off(labour=tasks))["own"]

    assert own.hours == Decimal("2.50")


def test_an_hour_of_unknown_worth_is_shown_and_not_valued() -> None:
    own = compare(make_job(comparison={"own_hour_value": None}))["own"]

    assert own.own_hours_value is None
    assert own.whole_cost == own.cost_after_credit
    assert any("not told" in reason.text for reason in own.because)


@pytest.mark.parametrize(
    ("residence", "words"),
    [("tenant", "tenant"), ("rented_out", "rented house"), ("second_home", "main home")],
)
def test_a_house_that_is_not_the_owners_home_is_warned_of(residence: str, words: str) -> None:
    home = compare()["own"]

    own = compare(make_job(site={"residence": residence}))["own"]

    assert len(own.may_be_forbidden) == len(home.may_be_forbidden) + 1
    assert any(words in note.text for note in own.may_be_forbidden)
