"""A small invented job, its parts and its price, for the tests of pricing."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from estimator.catalogue.match import index_items
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.records import Item, PriceList
from estimator.job.describe import describe_job
from estimator.job.records import Job
from estimator.pricing.price import price_estimate
from estimator.pricing.records import GroupPrice, Price
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import LabourTask, Part, TakeOff

FOUR_FACTS = {
    "circuits": [{"name": "Refrigerator", "breaker_a": 20, "running_w": 180, "starting_w": 1200}],
    "mounting_surface": "concrete_block",
    "run_length_ft": 18,
    "inlet": "L14-30",
}
NO_RATE: dict[str, Any] = {
    "hourly_rate": Decimal("0"),
    "wage": None,
    "burden_percent": Decimal(0),
    "skill": "contractor",
}
# Canadian: the bands of usual prices, which round sums would leave, are in US dollars.
CURRENCY = "CAD"
PLAIN_TERMS: dict[str, Any] = {
    "markup_percent": None,
    "margin_percent": None,
    "overhead_percent": Decimal(0),
    "contingency_percent": Decimal(0),
    "sales_tax_percent": Decimal(0),
    "taxable": (),
    "permit_fee": Decimal(0),
    "discount": Decimal(0),
    "deposit_percent": Decimal(0),
    "price_by": "purchase",
    "currency": CURRENCY,
}


@cache
def _four_fact_job() -> Job:
    return describe_job(FOUR_FACTS, date(2025, 10, 1)).job


def job(labour: dict[str, Any] | None = None, **terms: Any) -> Job:
    """A job without any additions to cost, but for those named."""
    plain = _four_fact_job()
    return replace(
        plain,
        terms=replace(plain.terms, **{**PLAIN_TERMS, **terms}),
        labour=replace(plain.labour, **{**NO_RATE, **(labour or {})}),
    )


def bushing(trade_size: str, quantity: str) -> Part:
    """A part counted in pieces."""
    return load_part_kinds().part(
        "insulating_bushing",
        (("trade_size", trade_size),),
        Decimal(quantity),
        asked_by=("/runs/0",),
        because=(),
    )


def wire(quantity: str) -> Part:
    """A part sold by length."""
    return load_part_kinds().part(
        "conductor",
        (
            ("size", "10 AWG"),
            ("material", "cu"),
            ("insulation", "THHN/THWN-2"),
            ("colour", "black"),
        ),
        Decimal(quantity),
        asked_by=("/runs/0",),
        because=(),
        cuts_ft=(Decimal(quantity),),
    )


def item_for(part: Part, unit_price: str, pack: str = "1", number: str = "A") -> Item:
    """An item that serves exactly a part."""
    return Item(
        supplier="Invented Supply",
        number=number,
        description="as listed",
        kind=part.kind,
        attributes=part.attributes,
        unit=part.unit,
        pack=Decimal(pack),
        unit_price=Decimal(unit_price),
        printed_price=Decimal(unit_price),
        price_basis="foot" if part.unit == "ft" else "each",
        currency=CURRENCY,
        row=2,
    )


def price(
    of: Job, parts: Sequence[Part] = (), items: Sequence[Item] = (), hours: str = "0"
) -> Price:
    """The price of parts and hours, from items."""
    task = LabourTask("L", "work", Decimal(1), "job", *(Decimal(hours),) * 3, ())
    prices = PriceList("list.csv", "Invented Supply", "0" * 64, tuple(items), len(items), (), 0)
    plan = plan_purchase(parts, index_items([prices], CURRENCY))
    return price_estimate(of, TakeOff(tuple(parts), (task,), ()), plan)


def price_of_materials(amount: str, of: Job) -> Price:
    """The price of one thing that costs an amount."""
    part = bushing("3/4", "1")
    return price(of, [part], [item_for(part, amount)])


def group(of: Price, name: str) -> GroupPrice:
    """One group of a price."""
    return next(each for each in of.groups if each.group == name)
