"""Doing it oneself: parts as bought, tools, permit and own hours, which cost no money."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from estimator.basis import because
from estimator.compare.drafts import (
    Draft,
    not_known_of,
    notes_of,
    permit_costs,
    ranged_materials,
    supply_costs,
)
from estimator.compare.inputs import DOLLARS, Estimated, hours_of
from estimator.compare.records import ToolChoice, WayCost
from estimator.compare.tables import CompareTables
from estimator.compare.three_point import ThreePoint, in_order
from estimator.compare.tool_choices import choose_tools, tool_costs
from estimator.credits.facts import cost_lines
from estimator.credits.records import CostLine
from estimator.job.records import Job
from estimator.money import ZERO, to_cents
from estimator.pricing.groups import group_prices
from estimator.pricing.records import Price, PriceLine
from estimator.takeoff.records import LabourTask
from estimator.takeoff.tables import TakeOffTables
from estimator.units import rounded

# Work that is done for a customer only; the top-up to a minimum is in no labour table.
_FOR_A_CUSTOMER = frozenset({"site_survey", "instruct_customer", "travel"})
_RETAIL = because(
    "Materials cost what the price lists ask for whole packs, without overhead, contingency or "
    "profit; sales tax is paid on materials and on tools.",
    "own_convention",
)
_NOT_PAID = because("Own hours are not paid, so they are in no cost and in no credit.", "usc_25d_a")


def own_way(given: Estimated, tables: CompareTables, units: TakeOffTables) -> Draft:
    """The costs and hours of one who does the whole job alone."""
    job = as_own(given.job)
    price = own_price(job, given)
    materials, _, permit = price.groups
    tools = choose_tools(given.take_off.tools, job.terms.currency)
    paid_for_tools = tool_costs(tools, job.terms.sales_tax_percent)
    costs = (
        *supply_costs(job),
        ranged_materials(materials, "parts at the prices of the lists", tables),
        *paid_for_tools,
        *permit_costs(permit),
    )
    hours = own_hours(given, units)
    speed = because(
        "Own hours: those of a tradesperson, without work for a customer, times the own speed "
        "factor; waiting for the inspector takes nobody longer.",
        "job_description",
        own_speed_factor=given.job.comparison.own_speed_factor,
        hours=hours.likely,
    )
    return Draft(
        way="own",
        job=job,
        costs=costs,
        cost_lines=lambda: (
            *cost_lines(job, given.take_off, price),
            *_tool_lines(paid_for_tools),
        ),
        tools=tools,
        hours=hours,
        own=True,
        circuits=len(job.circuits),
        left_out=notes_of("own", "left_out", job, tables),
        not_known=(*not_known_of(given), *_tools_not_known(tools)),
        because=(_RETAIL, speed, _NOT_PAID),
    )


def as_own(job: Job) -> Job:
    """The job on the terms of one who buys for himself: nothing is added to what is paid."""
    terms = replace(
        job.terms,
        markup_percent=None,
        margin_percent=None,
        overhead_percent=ZERO,
        contingency_percent=ZERO,
        discount=ZERO,
        taxable=("materials",),
        price_by="purchase",
    )
    return replace(job, terms=terms, labour=replace(job.labour, skill="own"))


def own_price(job: Job, given: Estimated) -> Price:
    """The price of the same purchase on the terms of as_own (job)."""
    lines = given.price.lines
    if given.job.terms.price_by == "use":
        lines = tuple(replace(line, amount=_as_bought(line)) for line in lines)
    paid = sum(
        [line.amount for line in lines if line.amount is not None],
        sum([each.fee for each in given.price.deliveries], ZERO),
    )
    groups = group_prices(
        {"materials": paid, "labour": ZERO, "permit": to_cents(job.terms.permit_fee or ZERO)},
        {"materials": False, "labour": False, "permit": False},
        job.terms,
    )
    total = sum((group.net + group.sales_tax for group in groups), ZERO)
    return replace(given.price, lines=lines, groups=groups, total=total)


def _as_bought(line: PriceLine) -> Decimal | None:
    return None if line.unit_price is None else to_cents(line.unit_price * line.quantity_bought)


def own_hours(given: Estimated, units: TakeOffTables) -> ThreePoint:
    """Hours of one who does it for the first time, to two places [h]."""
    learning = units.factors["first_time"]
    groups = learning.groups.split()
    slowed: list[LabourTask] = []
    as_long: list[LabourTask] = []
    for task in given.take_off.labour:
        unit = units.labour.get(task.code)
        if unit is not None and task.code not in _FOR_A_CUSTOMER:
            (slowed if unit.group in groups else as_long).append(task)
    likely = given.job.comparison.own_speed_factor
    low, high = likely * learning.low / learning.typical, likely * learning.high / learning.typical
    if given.job.labour.skill == "own":
        # The take-off has counted the hours of a beginner already.
        low = likely = high = likely / learning.typical
    slow, same = hours_of(slowed), hours_of(as_long)
    return in_order(
        rounded(slow.low * low + same.low, 2),
        rounded(slow.likely * likely + same.likely, 2),
        rounded(slow.high * high + same.high, 2),
    )


def _tool_lines(costs: tuple[WayCost, ...]) -> Iterator[CostLine]:
    for cost in costs:
        yield CostLine("tools", "", cost.amount, because=cost.because)
        if cost.sales_tax:
            yield CostLine("sales_tax", "", cost.sales_tax, on="tools", because=cost.because)


def _tools_not_known(tools: tuple[ToolChoice, ...]) -> Iterator[str]:
    if any(tool.likely is None for tool in tools):
        yield f"what tools cost is known in {DOLLARS} only"
