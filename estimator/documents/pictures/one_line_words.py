"""What stands on the one-line diagram, in order, as words: stations and the links between them."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from estimator.documents.records import FullEstimate
from estimator.sizing.records import CircuitDesign, RunConductor, RunDesign
from estimator.units import plain

Symbol = Literal[
    "battery", "generator", "utility", "inlet", "box", "breaker", "change_over", "interlocked"
]

_SUPPLY = {
    "power_station": "Portable power station",
    "battery": "Battery",
    "generator": "Generator",
}
_TRANSFER = {
    "manual_switch": "Manual transfer switch",
    "interlock": "Interlocked breakers in the load centre",
    "subpanel": "Transfer subpanel with main selector",
    "automatic_switch": "Automatic transfer switch",
}
# After all positions that equipment has.
_LAST = 10_000
_ROLE = {"neutral": "neutral", "equipment_ground": "ground"}


@dataclass(frozen=True, slots=True)
class Station:
    """A thing on the way of the current: a symbol with its name and details."""

    symbol: Symbol
    name: str
    details: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Link:
    """What joins two stations. flexible: a cord, which is not fixed wiring."""

    details: tuple[str, ...]
    flexible: bool = False


@dataclass(frozen=True, slots=True)
class CircuitRow:
    """A circuit behind the transfer equipment."""

    position: str
    name: str
    details: str


Step = Station | Link


def supply_side(estimate: FullEstimate) -> tuple[Step, ...]:
    """From the supply by cord, inlet and runs to the transfer equipment."""
    job, cord = estimate.job, estimate.design.cord
    supply = job.supply
    rating = "rating not stated"
    if supply.continuous_w is not None:
        rating = f"{supply.continuous_w:,.0f} W continuous"
    steps: list[Step] = [
        Station(
            "generator" if supply.kind == "generator" else "battery",
            _SUPPLY[supply.kind],
            (
                f"{rating}, {supply.system} V",
                f"outlet {supply.outlet}, neutral {supply.neutral}",
            ),
        ),
        Link(
            (
                f"Supply cord {plain(cord.length_ft)} ft, {cord.conductors} x "
                f"{cord.conductor_size}, drop {plain(cord.voltage_drop_percent)} %",
                f"{cord.plug} to {cord.connector}",
            ),
            flexible=True,
        ),
        Station(
            "inlet",
            f"Power inlet {job.inlet.configuration}",
            (f"{job.inlet.place}, {job.inlet.exposure}", f"{job.inlet.mounting} mounting"),
        ),
    ]
    return (*steps, *_joined([run for run in estimate.design.runs if run.from_ == "inlet"]))


def utility_side(estimate: FullEstimate) -> tuple[Step, ...]:
    """From the utility by the load centre to the transfer equipment."""
    job = estimate.job
    main = f"main {job.load_centre.main_a} A, bus {job.load_centre.bus_a} A"
    utility = Station("utility", "Utility", ("existing service",))
    method = job.transfer.method
    runs = _joined([run for run in estimate.design.runs if run.from_ == "transfer"])
    if method == "interlock":
        return (utility, Link(("existing supply of the load centre",)))
    if method == "automatic_switch":
        place = "service disconnect ahead of the switch"
        if job.load_centre.role == "subpanel":
            place = "existing feeder, led to the switch"
        return (utility, Station("breaker", "Overcurrent device", (place,)), *runs)
    taps = [one for one in estimate.design.transfer.breakers if one.feeds == "transfer"]
    extra = tuple(f"new breaker {one.poles}-pole {one.rating_a} A" for one in taps)
    return (utility, Station("breaker", "Load centre", (main, *extra)), *runs)


def transfer_station(estimate: FullEstimate) -> Station:
    """The transfer equipment, where both ways meet."""
    job, transfer = estimate.job, estimate.design.transfer
    details = [f"{transfer.rating_a} A"]
    if transfer.method == "manual_switch":
        details[0] += ", one change-over for each circuit"
    if transfer.spaces and transfer.method != "interlock":
        details.append(f"{transfer.spaces_used} of {transfer.spaces} spaces used")
    if transfer.method == "interlock":
        details.append(f"main {job.load_centre.main_a} A")
        details += [
            f"back-fed breaker {one.poles}-pole {one.rating_a} A"
            for one in transfer.breakers
            if one.back_fed
        ]
    if transfer.method == "automatic_switch":
        details.append(f"load centre behind it, main {job.load_centre.main_a} A")
    details.append("neutral switched" if job.transfer.switched_neutral else "neutral not switched")
    symbol: Symbol = (
        "interlocked" if transfer.method in ("interlock", "subpanel") else "change_over"
    )
    return Station(symbol, _TRANSFER[transfer.method], tuple(details))


def circuit_rows(estimate: FullEstimate) -> tuple[CircuitRow, ...]:
    """The circuits in the order of their positions."""
    return tuple(
        CircuitRow(_position(one), one.name, _circuit_details(one)) for one in by_position(estimate)
    )


def by_position(estimate: FullEstimate) -> list[CircuitDesign]:
    """The circuits in the order of their positions; as told where they have none."""
    return sorted(estimate.design.circuits, key=_first_position)


def _first_position(circuit: CircuitDesign) -> int:
    first = circuit.position.partition("-")[0]
    return int(first) if first.isdigit() else _LAST


def _position(circuit: CircuitDesign) -> str:
    if circuit.position == "as wired":
        return ""
    return circuit.position or "not placed"


def _circuit_details(circuit: CircuitDesign) -> str:
    wire = f", {circuit.conductor_size}" if circuit.conductor_size else ""
    return f"{circuit.poles}-pole {circuit.breaker_a} A, {circuit.leg}{wire}"


def _joined(runs: Sequence[RunDesign]) -> tuple[Step, ...]:
    steps: list[Step] = []
    for run in runs:
        if steps:
            steps.append(Station("box", "Junction box", ()))
        steps.append(Link(run_words(run)))
    return tuple(steps)


def run_words(run: RunDesign) -> tuple[str, ...]:
    """A run in words: length and raceway, conductors, fill, drop."""
    raceway = f"{run.trade_size} {run.wiring_method}" if run.trade_size else run.wiring_method
    whip = ", factory whip" if run.factory_whip else ""
    fill = ""
    if run.fill_percent is not None:
        fill = f"fill {plain(run.fill_percent)} % of {plain(run.fill_limit_percent or 0)} %, "
    wires = wire_words(run.conductors) or ("conductors not designed",)
    return (
        f"Run {run.index + 1}: {plain(run.length_ft)} ft {raceway}{whip}",
        *wires,
        f"{fill}drop {plain(run.voltage_drop_percent)} %",
    )


def wire_words(conductors: Sequence[RunConductor]) -> tuple[str, ...]:
    """Like conductors counted together: "2 x 10 AWG, neutral 10 AWG, ground 10 AWG"."""
    counts: Counter[tuple[str, str]] = Counter()
    for one in conductors:
        counts[(_ROLE.get(one.role, ""), one.size)] += one.count
    words = []
    for role, size in sorted(counts, key=lambda key: ("", "neutral", "ground").index(key[0])):
        count = counts[(role, size)]
        head = f"{role} " if role else ""
        words.append(f"{head}{count} x {size}" if count > 1 or not role else f"{head}{size}")
    kinds = sorted({f"{one.insulation} {one.material}" for one in conductors})
    return (", ".join(words), ", ".join(kinds)) if words else ()
