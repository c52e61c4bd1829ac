"""One invented job with its take-off and price, written out by hand."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.job.records import (
    ComparisonTerms,
    CreditClaim,
    Inlet,
    Job,
    LabourTerms,
    LoadCentre,
    PanelUpgrade,
    Site,
    Supply,
    Terms,
    Transfer,
)
from estimator.pricing.groups import group_prices
from estimator.pricing.records import Price, PriceLine
from estimator.takeoff.records import LabourTask, TakeOff

ZERO = Decimal("0.00")
ONE = Decimal(1)

SUPPLY = Supply(
    kind="power_station",
    portable=True,
    system="120/240",
    continuous_w=Decimal(5000),
    surge_w=Decimal(8000),
    leg_limit_w=Decimal(2500),
    outlet="L14-30",
    neutral="floating",
    outlet_gfci=False,
    usable_kwh=Decimal("5.1"),
    nameplate_kwh=Decimal("5.4"),
    efficiency=Decimal("0.9"),
    idle_w=Decimal(25),
    cycle_life=None,
    capacity_after_cycle_life=Decimal("0.8"),
    solar_input_w=None,
    ac_input_w=None,
    price=Decimal("2450.00"),
)
CLAIM = CreditClaim(
    completed_on=date(2025, 11, 20),
    placed_in_service_on=date(2025, 11, 21),
    paid_on=date(2025, 10, 15),
    permanently_wired=False,
    charged_only_by_onsite_solar=False,
    nonbusiness_share=ONE,
    tax_before_credit=Decimal("4200.00"),
    carryforward_in=ZERO,
    utility_subsidy=ZERO,
    seller_rebate=ZERO,
    state_incentive=ZERO,
    panel_upgrade=PanelUpgrade(ZERO, 200, ()),
)
TERMS = Terms(
    currency="USD",
    markup_percent=Decimal(25),
    margin_percent=None,
    overhead_percent=Decimal(10),
    contingency_percent=Decimal(5),
    sales_tax_percent=Decimal("7.25"),
    taxable=("materials",),
    permit_fee=Decimal("85.00"),
    discount=ZERO,
    deposit_percent=Decimal(30),
    valid_days=30,
    price_by="purchase",
    quoted_on=date(2025, 10, 1),
)
JOB = Job(
    name="Invented",
    circuits=(),
    direct_loads=(),
    site=Site("US-OH", "2023", Decimal(25), Decimal(38), "main_home", False),
    supply=SUPPLY,
    cord_length_ft=Decimal(20),
    inlet=Inlet("L14-30", "outdoor", "wet", "brick", "surface", 60),
    transfer=Transfer(
        "manual_switch", 6, True, Decimal("1.5"), False, "brick", "surface", 30, 60, False
    ),
    load_centre=LoadCentre("service", 200, 200, 4, "bonded", Decimal(4), "brick", 75),
    runs=(),
    voltage_drop_target_percent=Decimal(3),
    labour=LabourTerms(
        1, Decimal("95.00"), None, Decimal(35), "contractor", (), Decimal(2), Decimal(1)
    ),
    terms=TERMS,
    credit_claim=CLAIM,
    comparison=ComparisonTerms(None, Decimal("2.5"), (), ()),
    stock=(),
)
MATERIALS = (
    ("transfer_switch", "310.00"),
    ("inlet_box", "62.35"),
    ("wiring_interconnect", "88.17"),
    ("wiring_interconnect", "12.40"),
    ("anchors_mounting", "4.96"),
    ("tools", "7.80"),
)
TASKS = (
    ("mount_switch_surface", "0.60"),
    ("pvc_small", "1.40"),
    ("permit", "1.00"),
    ("travel", "0.75"),
    ("a_task_of_somebody_elses_table", "0.25"),
)


def make_job(**changes: Any) -> Job:
    """The job with parts of it replaced: supply, credit_claim, terms and labour by field."""
    changed = {
        name: replace(getattr(JOB, name), **fields) if isinstance(fields, dict) else fields
        for name, fields in changes.items()
    }
    return replace(JOB, **changed)


def make_take_off(tasks: tuple[tuple[str, str], ...] = TASKS) -> TakeOff:
    """A take-off that has only labour; its parts are those of the price."""
    labour = tuple(
        LabourTask(code, code, ONE, "each", Decimal(h), Decimal(h), Decimal(h), ())
        for code, h in tasks
    )
    return TakeOff((), labour, ())


def make_price(
    job: Job,
    materials: tuple[tuple[str, str | None], ...] = MATERIALS,
    labour_cost: str = "380.00",
) -> Price:
    """A price of these materials, (cost code, printed amount or None), on the job's terms."""
    lines = tuple(
        PriceLine(
            part=number,
            description=code,
            item="",
            item_description="",
            supplier="",
            pack=None,
            packs=1,
            quantity_needed=ONE,
            quantity_bought=ONE,
            leftover=ZERO,
            unit="ea",
            unit_price=None if amount is None else Decimal(amount),
            amount=None if amount is None else Decimal(amount),
            price_basis="each",
            match="unpriced" if amount is None else "exact",
            cost_code=code,
        )
        for number, (code, amount) in enumerate(materials)
    )
    costs = {
        "materials": sum((line.amount or ZERO for line in lines), ZERO),
        "labour": Decimal(labour_cost),
        "permit": job.terms.permit_fee or ZERO,
    }
    groups = group_prices(costs, {"materials": True, "labour": True, "permit": False}, job.terms)
    return Price(
        currency="USD",
        lines=lines,
        groups=groups,
        labour_hours=Decimal(4),
        labour_rate=Decimal(95),
        profit_kind="markup",
        total=sum((group.net + group.sales_tax for group in groups), ZERO),
        deposit=ZERO,
        complete=all(amount is not None for _, amount in materials),
        unpriced=sum(amount is None for _, amount in materials),
        optimal=True,
        findings=(),
        because=(),
    )
