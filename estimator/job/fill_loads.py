"""Complete circuits and direct loads."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from estimator.finding import Assumption
from estimator.job.breakers import load_branch_breakers
from estimator.job.filling import Filling
from estimator.job.records import Circuit, DirectLoad

Told = Mapping[str, Any]
_LEG_V = 120
_USUAL_SHARE = Decimal("0.8")


def fill_circuits(told: Sequence[Told], assumptions: list[Assumption]) -> tuple[Circuit, ...]:
    """Circuits complete. Unknown power is taken as 80 % of what the breaker carries."""
    partner_of = {
        circuit["shared_neutral_with"]: circuit["name"]
        for circuit in told
        if circuit.get("shared_neutral_with") is not None
    }
    return tuple(
        _circuit(
            Filling(circuit, f"/circuits/{index}", "/circuits/*", assumptions),
            partner_of.get(circuit["name"]),
        )
        for index, circuit in enumerate(told)
    )


def _circuit(circuit: Filling, partner: str | None) -> Circuit:
    breaker_a = circuit.told("breaker_a")
    poles = circuit.constant("poles")
    running_w = _running_w(circuit, breaker_a, _LEG_V * poles)
    material = circuit.constant("conductor_material")
    breaker = load_branch_breakers()[breaker_a]
    return Circuit(
        name=circuit.told("name"),
        breaker_a=breaker_a,
        poles=poles,
        running_w=running_w,
        starting_w=circuit.derived(
            "starting_w", running_w, "the load is not said to take more while starting"
        ),
        hours_per_day=circuit.constant("hours_per_day"),
        priority=circuit.constant("priority"),
        continuous=circuit.constant("continuous"),
        single_load=circuit.constant("single_load"),
        life_support=circuit.constant("life_support"),
        shared_neutral_with=_partner(circuit, partner),
        protection=circuit.constant("protection"),
        conductor_size=circuit.derived(
            "conductor_size",
            breaker.smallest_wire(material),
            f"the smallest wire that a {breaker_a} A breaker may protect",
            breaker.source,
        ),
        conductor_material=material,
    )


def _running_w(circuit: Filling, breaker_a: int, volts: int) -> Decimal:
    usual_w = _USUAL_SHARE * breaker_a * volts
    starting_w = circuit.told("starting_w")
    if starting_w is not None and starting_w < usual_w:
        because = "running power is not told and cannot be more than starting_w"
        told: Decimal = circuit.derived("running_w", starting_w, because)
        return told
    because = f"running power is not told: 80 % of {breaker_a} A at {volts} V"
    usual: Decimal = circuit.derived("running_w", usual_w, because, "common_practice")
    return usual


def _partner(circuit: Filling, partner: str | None) -> str | None:
    other: str | None
    if partner is None or circuit.tells("shared_neutral_with"):
        other = circuit.constant("shared_neutral_with")
    else:
        other = circuit.implied(
            "shared_neutral_with", partner, "that circuit names this one", "job_description"
        )
    return other


def fill_direct_loads(
    told: Sequence[Told], assumptions: list[Assumption]
) -> tuple[DirectLoad, ...]:
    """Loads plugged into the supply itself, complete."""
    return tuple(
        _direct_load(Filling(load, f"/direct_loads/{index}", "/direct_loads/*", assumptions))
        for index, load in enumerate(told)
    )


def _direct_load(load: Filling) -> DirectLoad:
    running_w = load.told("running_w")
    return DirectLoad(
        name=load.told("name"),
        outlet=load.told("outlet"),
        running_w=running_w,
        starting_w=load.derived(
            "starting_w", running_w, "the load is not said to take more while starting"
        ),
        hours_per_day=load.constant("hours_per_day"),
        priority=load.constant("priority"),
    )
