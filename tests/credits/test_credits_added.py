"""The money of all programmes together, and what the costs of one way bring to it."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from credits_golden import CLAIMS, SAMPLES
from credits_programmes import RATE, programme
from credits_samples import BATTERY, TODAY, cost, facts

from estimator.credits.assess import Assessment, added_credit, assess_claim
from estimator.credits.programme_facts import Told, read_told
from estimator.credits.programme_file import read_programmes
from estimator.credits.programmes import Programme
from estimator.credits.records import CreditTotal
from estimator.credits.rules_file import load_credit_rules
from estimator.finding import InputRefused

RULES = load_credit_rules()
PANEL = {"panel_cost": Decimal(2000), "panel_amps": 200, "panel_enables": ("heat_pump",)}
NO_OTHER_ITEMS: dict[str, Told] = {"other_improvement_credits": Decimal(0)}
FILES = [(path.name, path.read_bytes()) for path in sorted(SAMPLES.glob("*.toml"))]


def assessed(
    *programmes: Programme, told: dict[str, Told] | None = None, **changes: Any
) -> Assessment:
    given = NO_OTHER_ITEMS if told is None else told
    return assess_claim(facts(**changes), (BATTERY,), RULES, TODAY, programmes, given)


def total(sure: str, if_allowed: str, if_everything: str) -> CreditTotal:
    return CreditTotal(Decimal(sure), Decimal(if_allowed), Decimal(if_everything))


def test_without_anything_else_the_costs_bring_all_of_it() -> None:
    found = assessed()

    assert found.added == found.total == total("3000.00", "3000.00", "3000.00")


def test_the_panel_takes_of_the_tax_first_and_is_not_brought_by_the_costs() -> None:
    found = assessed(tax_limit=Decimal(1000), **PANEL)

    assert [one.amount for one in found.answers] == [400, 600]
    assert found.total.sure == 1000
    assert found.added.sure == 400


def test_an_open_panel_takes_of_the_tax_only_where_it_is_allowed() -> None:
    found = assessed(told={}, tax_limit=Decimal(1000), **PANEL)

    # By itself the battery could use the whole 1000, the panel 600: never both.
    assert [one.amount for one in found.answers] == [1000, 0]
    assert [one.amount_if_uncertain for one in found.answers] == [1000, 600]
    assert found.total == total("1000", "1000", "1000")
    assert found.added == total("1000", "400", "400")


def test_what_is_carried_in_uses_the_tax_with_or_without_the_costs() -> None:
    found = assessed(tax_limit=Decimal(1000), carryforward_in=Decimal(700))

    assert found.total.sure == 1000
    assert found.added.sure == 300


def test_without_a_limit_what_is_carried_in_is_no_part_of_it() -> None:
    found = assessed(tax_limit=None, carryforward_in=Decimal(700))

    assert found.total.sure == 3700
    assert found.added.sure == 3000


def test_a_job_after_the_end_brings_nothing_beside_what_is_carried_in() -> None:
    day = date(2026, 1, 1)

    found = assessed(
        completed_on=day, placed_in_service_on=day, paid_on=date(2025, 12, 1),
        carryforward_in=Decimal(700), tax_limit=Decimal(500),
    )  # fmt: skip

    assert found.total.sure == 500
    assert found.added == total("0", "0", "0")


def test_a_rebate_that_may_be_paid_lowers_the_base_in_the_same_reading() -> None:
    found = assessed(programme(funding_limited=True))

    assert [one.amount_if_uncertain for one in found.answers] == [3000, 1000]
    # Either the 1000 are paid and 30 % of 9000 with them, or neither is counted on.
    assert found.total == total("2700.00", "3700.00", "3700.00")


def test_earlier_programmes_lower_later_ones_in_the_same_reading() -> None:
    first = programme(funding_limited=True, effect_on_federal_base='"keep"')
    second = programme(
        RATE, code='"b"', stacking_order="2", effect_on_federal_base='"keep"',
        base_less='["earlier_programmes"]',
    )  # fmt: skip

    found = assessed(first, second)

    # By itself at most 1000 each; where the first pays, the second is 10 % of 9000.
    assert [one.amount_if_uncertain for one in found.answers] == [3000, 1000, 1000]
    assert [one.amount for one in found.answers] == [3000, 0, 900]
    assert found.total == total("3900.00", "4900.00", "4900.00")


def test_costs_open_by_themselves_are_only_in_the_last_reading() -> None:
    costs = (BATTERY, cost("transfer_switch", "1000.00"))

    found = added_credit(facts(), costs, RULES, TODAY)

    assert found == total("3000.00", "3000.00", "3300.00")


@pytest.mark.parametrize("name", CLAIMS)
def test_the_money_alone_is_that_of_the_full_answers(name: str) -> None:
    claim = CLAIMS[name]
    programmes = read_programmes(FILES, RULES.costs) if claim.programmes else ()
    told = read_told(claim.told.items(), programmes)
    asked = (facts(**claim.changes), claim.costs, RULES, claim.today, programmes, told)

    full = assess_claim(*asked)

    assert added_credit(*asked) == full.added
    assert full.total.sure == sum(one.amount for one in full.answers)
    allowed = sum(one.if_allowed.amount for one in full.answers)
    everything = sum(one.amount_if_uncertain for one in full.answers)
    if len(full.answers) == 1:
        assert (full.total.if_allowed, full.total.if_everything) == (allowed, everything)
    assert full.total.sure <= full.total.if_allowed <= full.total.if_everything <= everything
    for part in ("sure", "if_allowed", "if_everything"):
        assert 0 <= getattr(full.added, part) <= getattr(full.total, part)


def test_money_below_zero_is_refused_by_both_doors() -> None:
    bad = (cost("tools", "-1"),)

    for door in (added_credit, assess_claim):
        with pytest.raises(InputRefused):
            door(facts(), bad, RULES, TODAY)
