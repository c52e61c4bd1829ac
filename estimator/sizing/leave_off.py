"""Which circuits to switch off so that the rest fits the supply."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.job.records import Circuit, DirectLoad, Job, System
from estimator.sizing.keep_most import Load, Room, Side, Used, keep_most
from estimator.sizing.records import Leg
from estimator.sizing.tables import SizingTables

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Capacity:
    """What the supply gives [W]. leg_w: most on one leg, None when there is one leg only."""

    continuous_w: Decimal
    surge_w: Decimal
    leg_w: Decimal | None


@dataclass(frozen=True, slots=True)
class LeaveOff:
    """Circuits to switch off, in list order. enough: what is left fits."""

    names: tuple[str, ...]
    enough: bool
    text: str


def circuits_to_leave_off(
    job: Job, legs: Sequence[Leg], system: System, capacity: Capacity, tables: SizingTables
) -> LeaveOff:
    """The circuits whose loss matters least, on the legs as wired.

    No more circuits of a higher priority are lost than must be (life support above all), then
    as few as possible of the next, and so on; among equals those whose loss leaves the supply
    the most room. Loads plugged into the supply itself stay on.
    """
    scale = _Scale((*job.circuits, *job.direct_loads))
    always = _direct_loads(job, scale, tables)
    room = Room(
        scale.whole(capacity.continuous_w),
        scale.whole(capacity.surge_w),
        None if capacity.leg_w is None else scale.whole(capacity.leg_w),
    )
    names = tuple(circuit.name for circuit in job.circuits)
    if not room.holds(always):
        return LeaveOff(names, False, "The loads plugged into the supply alone are too much")
    kept = keep_most(_tiers(job.circuits, legs, system, scale), always, room)
    text = "Lowest priority left off first, on the legs as shown; least loss of priority"
    if not kept.proven:
        text += ", not proven least"
    return LeaveOff(
        tuple(name for place, name in enumerate(names) if place not in kept.places), True, text
    )


class _Scale:
    """Watts as whole numbers that can be halved between two legs without a remainder."""

    def __init__(self, loads: Sequence[Circuit | DirectLoad]) -> None:
        figures = [watts for load in loads for watts in (load.running_w, load.starting_w)]
        self._places = max((_decimal_places(watts) for watts in figures), default=0)

    def whole(self, watts: Decimal) -> int:
        """Twice the watts in the job's finest decimal place, rounded down."""
        return int((2 * watts).scaleb(self._places))


def _decimal_places(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _direct_loads(job: Job, scale: _Scale, tables: SizingTables) -> Used:
    total = step = leg = 0
    for load in job.direct_loads:
        watts = scale.whole(load.running_w)
        total += watts
        step = max(step, scale.whole(load.starting_w) - watts)
        if job.supply.system == "120/240" and tables.configurations[load.outlet].system != "120":
            leg += watts // 2
    return Used(total, step, leg, leg)


def _tiers(
    circuits: Sequence[Circuit], legs: Sequence[Leg], system: System, scale: _Scale
) -> list[list[Load]]:
    """Loads by rank, the ones to keep longest first."""
    tiers: dict[int, list[Load]] = {}
    for place, (circuit, leg) in enumerate(zip(circuits, legs, strict=True)):
        watts = scale.whole(circuit.running_w)
        step = max(0, scale.whole(circuit.starting_w) - watts)
        rank = 0 if circuit.life_support else circuit.priority
        tiers.setdefault(rank, []).append(Load(place, watts, step, _side(leg, system)))
    return [tiers[rank] for rank in sorted(tiers)]


def _side(leg: Leg, system: System) -> Side:
    if system == "120" or leg == "L1":
        return "first"
    return "second" if leg == "L2" else "both"
