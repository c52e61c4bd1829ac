"""Complete labour, terms, credit facts, comparison and stock."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.job.filling import Filling
from estimator.job.records import (
    ComparisonTerms,
    CreditClaim,
    LabourTerms,
    LoadCentre,
    Loan,
    PanelUpgrade,
    StockItem,
    Supply,
    Terms,
)
from estimator.units import plain

_STOCK_FIELDS = ("kind", "quantity", "unit")


def fill_labour(labour: Filling) -> LabourTerms:
    """Labour, complete. A rate that is charged goes before a wage that is paid."""
    hourly_rate: Decimal | None = labour.told("hourly_rate")
    wage: Decimal | None = labour.told("wage") if hourly_rate is None else None
    if hourly_rate is None and wage is None:
        hourly_rate = labour.default("hourly_rate")
    return LabourTerms(
        crew=labour.constant("crew"),
        hourly_rate=hourly_rate,
        wage=wage,
        burden_percent=labour.constant("burden_percent"),
        skill=labour.constant("skill"),
        factors=labour.constant("factors"),
        minimum_hours=labour.constant("minimum_hours"),
        travel_hours=labour.constant("travel_hours"),
    )


def fill_terms(terms: Filling, today: date) -> Terms:
    """Terms of the quote, complete; quoted today unless another day is told."""
    markup: Decimal | None = terms.told("markup_percent")
    margin: Decimal | None = terms.told("margin_percent")
    if markup is None and margin is None:
        terms.constant("markup_percent")
        terms.constant("margin_percent")
    return Terms(
        currency=terms.constant("currency"),
        markup_percent=markup,
        margin_percent=margin,
        overhead_percent=terms.constant("overhead_percent"),
        contingency_percent=terms.constant("contingency_percent"),
        sales_tax_percent=terms.constant("sales_tax_percent"),
        taxable=terms.constant("taxable"),
        permit_fee=terms.constant("permit_fee"),
        discount=terms.constant("discount"),
        deposit_percent=terms.constant("deposit_percent"),
        valid_days=terms.constant("valid_days"),
        price_by=terms.constant("price_by"),
        quoted_on=terms.derived("quoted_on", today, "the day on which this was computed"),
        most_suppliers=terms.constant("most_suppliers"),
    )


def fill_credit_claim(
    claim: Filling,
    upgrade: Filling,
    *,
    claimed: bool,
    quoted_on: date,
    supply: Supply,
    centre: LoadCentre,
) -> CreditClaim:
    """Facts for the credits, complete.

    claimed: the job says something about the credit; then an untold day stays untold.
    """
    return CreditClaim(
        completed_on=claim.constant("completed_on")
        if claimed
        else claim.derived(
            "completed_on", quoted_on, "a job quoted on this day cannot be finished earlier"
        ),
        placed_in_service_on=claim.constant("placed_in_service_on"),
        paid_on=claim.constant("paid_on"),
        permanently_wired=claim.derived(
            "permanently_wired",
            not supply.portable,
            "a portable supply is plugged in, a fixed one is wired",
        ),
        charged_only_by_onsite_solar=claim.constant("charged_only_by_onsite_solar"),
        nonbusiness_share=claim.constant("nonbusiness_share"),
        tax_before_credit=claim.constant("tax_before_credit"),
        tax_in_later_years=claim.constant("tax_in_later_years"),
        carryforward_in=claim.constant("carryforward_in"),
        utility_subsidy=claim.constant("utility_subsidy"),
        seller_rebate=claim.constant("seller_rebate"),
        state_incentive=claim.constant("state_incentive"),
        panel_upgrade=PanelUpgrade(
            cost=upgrade.constant("cost"),
            amps=upgrade.derived("amps", centre.main_a, "the panel as it is"),
            enables=upgrade.constant("enables"),
        ),
    )


def fill_comparison(comparison: Filling, loan: Filling) -> ComparisonTerms:
    """Terms of the comparison, complete."""
    return ComparisonTerms(
        own_hour_value=comparison.constant("own_hour_value"),
        own_speed_factor=comparison.constant("own_speed_factor"),
        tools_owned=comparison.constant("tools_owned"),
        hire_quotes=comparison.constant("hire_quotes"),
        loan=Loan(
            amount=loan.constant("amount"),
            annual_rate_percent=loan.constant("annual_rate_percent"),
            months=loan.constant("months"),
        ),
        outage_hours_per_year=comparison.constant("outage_hours_per_year"),
        years_of_use=comparison.constant("years_of_use"),
    )


def fill_stock(told: Sequence[Mapping[str, Any]]) -> tuple[StockItem, ...]:
    """What is at hand; fields beside kind, quantity and unit are attributes of the part."""
    return tuple(
        StockItem(
            kind=item["kind"],
            attributes=tuple(
                (name, _attribute(value))
                for name, value in item.items()
                if name not in _STOCK_FIELDS
            ),
            quantity=item["quantity"],
            unit=item["unit"],
        )
        for item in told
    )


def _attribute(value: object) -> str:
    return plain(value) if isinstance(value, Decimal) else str(value).strip()
