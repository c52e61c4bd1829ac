"""One invented job, small enough to be worked out by hand, and the ways to get it done."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.basis import because
from estimator.catalogue.records import Bought, Item, Purchase, PurchasePlan
from estimator.compare.compare_ways import compare_ways
from estimator.compare.inputs import Compared, CreditOf, Estimated
from estimator.compare.records import Way
from estimator.compare.tables import load_compare_tables
from estimator.credits.facts import cost_lines
from estimator.credits.records import CostLine, CreditTotal
from estimator.job.describe import describe_job
from estimator.job.records import Job
from estimator.money import ZERO, to_cents
from estimator.pricing.price import price_estimate
from estimator.sizing.design import design_job
from estimator.sizing.records import Design
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.records import LabourTask, Part, TakeOff, ToolNeed
from estimator.takeoff.tables import load_take_off_tables

TODAY = date(2025, 10, 1)
WHY = (because("Written by hand for a test", "own_convention"),)
DOCUMENT: dict[str, Any] = {
    "circuits": [
        {"name": "Freezer", "breaker_a": 20, "running_w": 180},
        {"name": "Well", "breaker_a": 20, "poles": 2, "running_w": 1000},
        {"name": "Furnace", "breaker_a": 15, "running_w": 500},
        {"name": "Office outlets", "breaker_a": 15, "running_w": 300},
    ],
    "mounting_surface": "stud_drywall",
    "run_length_ft": 18,
    "inlet": "L14-30",
    "supply": {"kind": "power_station", "price": "2450.00"},
    "labour": {"hourly_rate": "100.00"},
    "terms": {
        "markup_percent": 25,
        "overhead_percent": 10,
        "sales_tax_percent": "7.25",
        "permit_fee": "85.00",
    },
    "comparison": {"own_hour_value": "20.00"},
}
# Task: hours low, likely, high.
TASKS = {
    "mount_switch_surface": ("0.80", "1.00", "1.50"),
    "inspection": ("0.50", "1.00", "2.50"),
    "site_survey": ("0.50", "1.00", "1.50"),
    "travel": ("0.30", "0.75", "2.00"),
}


def make_job(**changes: Any) -> Job:
    """The job; changes are sections of the document, by which its own are overlaid."""
    document = dict(DOCUMENT)
    for name, change in changes.items():
        old = document.get(name)
        overlay = isinstance(old, dict) and isinstance(change, dict)
        document[name] = {**old, **change} if overlay else change
    return describe_job(document, TODAY).job


def make_task(code: str, low: str, likely: str, high: str) -> LabourTask:
    hours = (Decimal(low), Decimal(likely), Decimal(high))
    return LabourTask(code, code, Decimal(1), "each", *hours, WHY)


def make_tool(
    tool: str, buy: str, rent: str | None = None, *, owned: bool = False, days: int = 1
) -> ToolNeed:
    """A tool that costs half as much at the least and twice as much at the most."""
    price = Decimal(buy)
    per_day = None if rent is None else Decimal(rent)
    rent_days = None if rent is None else days
    return ToolNeed(tool, tool, owned, price / 2, price, price * 2, per_day, rent_days, WHY)


TOOLS = (
    make_tool("drill", "110", "25"),
    make_tool("fish_tape", "35", "15"),
    make_tool("voltage_tester", "35"),
    make_tool("hacksaw", "20", owned=True),
)


def make_take_off(**changes: Any) -> TakeOff:
    """A switch and 46 ft of wire, four tasks, four tools."""
    switch = Part(
        "transfer_switch", (("method", "by hand"),), "switch", Decimal(1), "ea", (),
        "transfer_switch", ("/transfer",), WHY,
    )  # fmt: skip
    wire = Part(
        "conductor", (("size", "10 AWG"),), "wire", Decimal(46), "ft",
        (Decimal(23), Decimal(23)), "wiring_interconnect", ("/runs/0",), WHY,
    )  # fmt: skip
    labour = tuple(make_task(code, *hours) for code, hours in TASKS.items())
    return replace(TakeOff((switch, wire), labour, (), TOOLS), **changes)


def make_plan(taken: TakeOff) -> PurchasePlan:
    """One switch for 300.00 and two reels of 25 ft at 0.6125 a foot."""
    bought = (("300.0000", "1", 1), ("0.6125", "25", 2))
    purchases = []
    for part, (price, pack, packs) in zip(taken.parts, bought, strict=True):
        item = Item(
            supplier="Invented supply", number=part.kind, description=part.description,
            kind=part.kind, attributes=part.attributes, unit=part.unit, pack=Decimal(pack),
            unit_price=Decimal(price), printed_price=Decimal(price), price_basis="each",
            currency="USD", row=2,
        )  # fmt: skip
        quantity = packs * Decimal(pack)
        one = Bought(item, packs, quantity)
        purchases.append(Purchase(part, "exact", (one,), quantity - part.quantity, True))
    return PurchasePlan(tuple(purchases), True)


def make_estimated(job: Job, taken: TakeOff | None = None) -> Estimated:
    taken = taken or make_take_off()
    return Estimated(job, taken, price_estimate(job, taken, make_plan(taken)))


def money(sure: Decimal, if_allowed: Decimal | None = None) -> CreditTotal:
    """What all programmes together give."""
    allowed = sure if if_allowed is None else if_allowed
    return CreditTotal(sure, allowed, allowed)


def no_credit(job: Job, costs: Sequence[CostLine]) -> CreditTotal:
    return money(ZERO)


def thirty_percent_of(*codes: str) -> CreditOf:
    """A programme that gives 30 % of the costs of some codes, and of the tax on them."""

    def credit_of(job: Job, costs: Sequence[CostLine]) -> CreditTotal:
        base = sum((one.amount for one in costs if one.judged_as in codes), ZERO)
        return money(to_cents(base * Decimal("0.3")))

    return credit_of


def compare(
    job: Job | None = None,
    taken: TakeOff | None = None,
    *,
    credit_of: CreditOf = no_credit,
    lifetime_kwh: str | None = "15000",
    hired: Estimated | None = None,
) -> dict[str, Way]:
    """The ways by name."""
    given = make_estimated(job or make_job(), taken)
    hired = hired or given
    credit = credit_of(given.job, cost_lines(given.job, given.take_off, given.price))
    ways = compare_ways(
        Compared(make_design(lifetime_kwh), given, hired),
        credit,
        credit_of,
        load_compare_tables(),
        load_take_off_tables(),
    )
    return {way.way: way for way in ways}


def make_design(lifetime_kwh: str | None) -> Design:
    design = design_job(make_job(), load_sizing_tables())
    life = None if lifetime_kwh is None else Decimal(lifetime_kwh)
    return replace(design, load_study=replace(design.load_study, lifetime_kwh=life))


def cost_of(way: Way, what: str) -> Decimal:
    """What a way pays for one group of costs, sales tax included."""
    return sum((cost.paid for cost in way.costs if cost.what == what), ZERO)
