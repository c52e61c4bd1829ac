"""Facts and costs of an eligible claim, to be changed one thing at a time."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.credits.assess import assess_credits
from estimator.credits.records import ClaimFacts, CostLine, CreditAnswer
from estimator.credits.rules_file import load_credit_rules

TODAY = date(2026, 11, 25)
ZERO = Decimal(0)

FIXED_BATTERY = ClaimFacts(
    supply_kind="battery",
    completed_on=date(2024, 5, 1),
    placed_in_service_on=date(2024, 5, 2),
    paid_on=date(2024, 4, 20),
    planned=False,
    portable=False,
    permanently_wired=True,
    nameplate_kwh=Decimal(10),
    usable_kwh=Decimal(9),
    charged_only_by_onsite_solar=False,
    residence="main_home",
    newly_built_home=False,
    region="US-OH",
    nonbusiness_share=Decimal(1),
    tax_limit=Decimal(100000),
    carryforward_in=ZERO,
    utility_subsidy=ZERO,
    seller_rebate=ZERO,
    state_incentive=ZERO,
)
BATTERY = CostLine("battery_fixed", "", Decimal("10000.00"))


def facts(**changes: Any) -> ClaimFacts:
    return replace(FIXED_BATTERY, **changes)


def answer(*costs: CostLine, today: date = TODAY, **changes: Any) -> CreditAnswer:
    (only,) = assess_credits(facts(**changes), costs or (BATTERY,), load_credit_rules(), today)
    return only


def cost(code: str, amount: str, **more: Any) -> CostLine:
    return CostLine(code, "", Decimal(amount), **more)
