"""Facts of a job that contradict each other although each could stand alone.

Works on whatever part of the description could be read, so that its faults come together
with those of the single fields.
"""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from estimator.finding import Fault
from estimator.job.faults import listed, nearest, pointer, shown
from estimator.job.run_order import run_faults
from estimator.units import plain

_LEG_V = 120
Given = Mapping[str, Any]


def contradictions(told: Given) -> Iterator[Fault]:
    """Every contradiction in what the user told; fields that could not be read are absent."""
    circuits: Sequence[Given] = told.get("circuits") or ()
    yield from _double_names(circuits)
    yield from _shared_neutrals(circuits)
    for index, circuit in enumerate(circuits):
        yield from _circuit_power(circuit, f"/circuits/{index}")
    for index, load in enumerate(told.get("direct_loads") or ()):
        yield from _starting(load, f"/direct_loads/{index}")
    yield from _supply(told.get("supply") or {})
    yield from _transfer(told.get("transfer") or {})
    yield from run_faults(told)
    yield from _terms(told.get("terms") or {})


def _double_names(circuits: Sequence[Given]) -> Iterator[Fault]:
    first: dict[str, int] = {}
    for index, circuit in enumerate(circuits):
        name = circuit.get("name")
        if name is None:
            continue
        if name in first:
            yield Fault(
                f"/circuits/{index}/name",
                f"{shown(name)} is the name of circuit {first[name] + 1} already; "
                "give each circuit a name of its own",
            )
        first.setdefault(name, index)


def _shared_neutrals(circuits: Sequence[Given]) -> Iterator[Fault]:
    by_name = {circuit["name"]: circuit for circuit in circuits if "name" in circuit}
    all_read = len(by_name) == len(circuits)
    partners = _Partners()
    for index, circuit in enumerate(circuits):
        other = circuit.get("shared_neutral_with")
        if other is None:
            continue
        where = f"/circuits/{index}/shared_neutral_with"
        name = circuit.get("name")
        if other == name:
            yield Fault(where, f"{shown(other)} is the circuit itself; name the other circuit")
        elif other in by_name:
            yield from _pair(circuit, by_name[other], where)
            yield from partners.pair(name, other, where)
        elif all_read:
            alike = nearest(other, by_name)
            hint = f"did you mean {listed(alike)}?" if alike else "name one of the circuits"
            yield Fault(where, f"no circuit is called {shown(other)}; {hint}")


def _pair(circuit: Given, other: Given, where: str) -> Iterator[Fault]:
    if circuit.get("poles", 1) == 1 and other.get("poles", 1) == 1:
        return
    two_pole = circuit if circuit.get("poles", 1) != 1 else other
    yield Fault(
        where,
        f"{shown(two_pole.get('name'))} is a two-pole circuit; only two one-pole circuits can "
        "share a neutral: set poles to 1 on both, or take shared_neutral_with out",
    )


class _Partners:
    """Who shares a neutral with whom: two legs, so two circuits at most."""

    def __init__(self) -> None:
        self._partner: dict[str, str] = {}

    def pair(self, name: str | None, other: str, where: str) -> Iterator[Fault]:
        """Keep the pair, or say which pair stands against it."""
        if name is None:
            return
        for one, two in ((name, other), (other, name)):
            known = self._partner.setdefault(one, two)
            if known != two:
                yield Fault(
                    where,
                    f"{shown(one)} shares its neutral with {shown(known)} already; "
                    "two circuits, one on each leg, can share a neutral",
                )
                return


def _circuit_power(circuit: Given, where: str) -> Iterator[Fault]:
    yield from _starting(circuit, where)
    breaker_a = circuit.get("breaker_a")
    running_w = circuit.get("running_w")
    if breaker_a is None or running_w is None:
        return
    volts = _LEG_V * circuit.get("poles", 1)
    most_w = breaker_a * volts
    if running_w > most_w:
        yield Fault(
            pointer(where, "running_w"),
            f"{shown(running_w)} W cannot run on a {breaker_a} A breaker at {volts} V, which "
            f"carries {most_w} W; correct running_w, breaker_a or poles",
        )


def _starting(load: Given, where: str) -> Iterator[Fault]:
    running_w = load.get("running_w")
    starting_w = load.get("starting_w")
    if running_w is not None and starting_w is not None and starting_w < running_w:
        yield Fault(
            pointer(where, "starting_w"),
            f"{shown(starting_w)} is less than running_w {shown(running_w)}; starting_w is the "
            "total while starting and contains the running power",
        )


def _supply(supply: Given) -> Iterator[Fault]:
    for smaller, larger, why in (
        ("continuous_w", "surge_w", "what it gives always it gives for a moment too"),
        ("leg_limit_w", "continuous_w", "one leg cannot give more than the whole supply"),
        ("usable_kwh", "nameplate_kwh", "it cannot give more energy than it holds"),
    ):
        low: Decimal | None = supply.get(smaller)
        high: Decimal | None = supply.get(larger)
        if low is not None and high is not None and low > high:
            yield Fault(
                f"/supply/{smaller}",
                f"{plain(low)} is more than {larger} {plain(high)}; {why}: correct one of them",
            )


def _transfer(transfer: Given) -> Iterator[Fault]:
    method = transfer.get("method", "manual_switch")
    if transfer.get("load_management") and method != "automatic_switch":
        yield Fault(
            "/transfer/load_management",
            f"true cannot stand with method {method}: only an automatic_switch manages loads; "
            "change the method or take load_management out",
        )


def _terms(terms: Given) -> Iterator[Fault]:
    markup = terms.get("markup_percent")
    margin = terms.get("margin_percent")
    if markup is not None and margin is not None:
        yield Fault(
            "/terms/margin_percent",
            f"margin_percent {plain(margin)} stands beside markup_percent {plain(markup)}; "
            "give one of them: markup is a share of the cost, margin a share of the price",
        )
