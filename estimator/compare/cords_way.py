"""Only cords: extension cords from a portable supply straight to appliances that have a plug."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from estimator.basis import because
from estimator.compare.drafts import Draft, notes_of, supply_costs
from estimator.compare.inputs import DOLLARS, Estimated
from estimator.compare.records import WayCost, WayNote
from estimator.compare.tables import CompareTables, CordRow
from estimator.credits.facts import cost_lines
from estimator.credits.records import CostLine
from estimator.job.records import Circuit, Job
from estimator.money import ZERO, percent_of
from estimator.units import plain, rounded

_LEG_V = 120
_ONE_CORD = because(
    "One cord for each circuit whose load can be plugged in, as heavy as the load asks for; "
    "nothing is wired, so no permit, no tools.",
    "own_convention",
)


def cords_way(given: Estimated, tables: CompareTables) -> Draft:
    """What cords cost, and the circuits that they cannot feed."""
    claim = replace(given.job.credit_claim, permanently_wired=False)
    job = replace(given.job, credit_claim=claim)
    # Nothing is wired: of the costs of the estimate only the supply is left.
    unwired = replace(given.price, lines=(), groups=())
    cords: list[CordRow] = []
    left_out = list(notes_of("cords_only", "left_out", job, tables))
    for circuit in job.circuits if job.supply.portable else ():
        found = _cord_for(circuit, tables)
        if isinstance(found, CordRow):
            cords.append(found)
        else:
            left_out.append(found)
    priced = job.terms.currency == DOLLARS
    costs = tuple(_cord_costs(job, cords)) if priced else ()
    laying = tables.three_points["lay_out_cord"]
    return Draft(
        way="cords_only",
        job=job,
        costs=(*supply_costs(job), *costs),
        cost_lines=lambda: (
            *cost_lines(job, given.take_off, unwired),
            *_cord_lines(costs),
        ),
        tools=(),
        hours=laying.points.times(Decimal(len(cords))),
        own=True,
        circuits=len(cords),
        left_out=tuple(left_out),
        not_known=tuple(_not_known(job, priced or not cords)),
        because=(
            _ONE_CORD,
            because(
                "The cords are laid out and tried once.",
                laying.source,
                cords=len(cords),
                hours_a_cord=laying.likely,
            ),
        ),
    )


def _cord_for(circuit: Circuit, tables: CompareTables) -> CordRow | WayNote:
    name = circuit.name
    if circuit.poles == 2:
        text = f"{name}: a two-pole circuit has no 120 V plug to bring a cord to."
        return WayNote(text, "own_convention", name)
    wired = tables.wired(name)
    if wired is not None:
        text = f"{name}: by its name ({wired.words}) it is wired in, without a plug."
        return WayNote(text, wired.source, name)
    load_a = circuit.running_w / _LEG_V
    for cord in tables.cords:
        if load_a <= cord.up_to_a:
            return cord
    most = tables.cords[-1]
    text = (
        f"{name}: {plain(rounded(load_a, 1))} A are more than the {plain(most.up_to_a)} A that an "
        "extension cord carries."
    )
    return WayNote(text, most.source, name)


def _cord_costs(job: Job, cords: list[CordRow]) -> Iterator[WayCost]:
    if not cords:
        return
    percent = job.terms.sales_tax_percent
    low, likely, high = (
        sum((getattr(cord, name) for cord in cords), ZERO) for name in ("low", "likely", "high")
    )
    counted = {cord.cord: sum(other is cord for other in cords) for cord in cords}
    reason = because(
        "What such cords cost, low, likely and high, in US dollars: "
        + ", ".join(f"{count} x {name}" for name, count in counted.items())
        + ".",
        cords[0].source,
        cords=len(cords),
    )
    yield WayCost(
        "cords",
        "extension cords",
        likely,
        percent_of(percent, likely),
        low + percent_of(percent, low),
        high + percent_of(percent, high),
        (reason,),
    )


def _cord_lines(costs: tuple[WayCost, ...]) -> Iterator[CostLine]:
    for cost in costs:
        yield CostLine("cord_set", "", cost.amount, because=cost.because)
        if cost.sales_tax:
            yield CostLine("sales_tax", "", cost.sales_tax, on="cord_set", because=cost.because)


def _not_known(job: Job, priced: bool) -> Iterator[str]:
    if job.supply.price is None:
        yield "the price of the supply is not told"
    if not priced:
        yield f"what extension cords cost is known in {DOLLARS} only"
