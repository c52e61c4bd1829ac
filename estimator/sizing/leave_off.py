"""Which circuits to switch off so that the rest fits the supply."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.job.records import Circuit, Job, System
from estimator.sizing.records import Leg
from estimator.sizing.tables import SizingTables

ZERO = Decimal(0)
NODE_BUDGET = 20_000


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


@dataclass(frozen=True, slots=True)
class _Load:
    place: int
    worth: int
    running: Decimal
    step: Decimal
    first: Decimal
    second: Decimal


@dataclass(frozen=True, slots=True)
class _Kept:
    """Sums over the loads that stay on."""

    running: Decimal
    step: Decimal
    first: Decimal
    second: Decimal

    def with_load(self, load: _Load) -> "_Kept":
        return _Kept(
            self.running + load.running,
            max(self.step, load.step),
            self.first + load.first,
            self.second + load.second,
        )

    def fits(self, capacity: Capacity) -> bool:
        leg = capacity.leg_w
        return (
            self.running <= capacity.continuous_w
            and self.running + self.step <= capacity.surge_w
            and (leg is None or (self.first <= leg and self.second <= leg))
        )


def circuits_to_leave_off(
    job: Job, legs: Sequence[Leg], system: System, capacity: Capacity, tables: SizingTables
) -> LeaveOff:
    """The circuits whose loss matters least, on the legs as wired.

    No more circuits of a higher priority are lost than must be (life support above all), then
    as few as possible of the next, and so on; among equals as few watts as possible. Loads
    plugged into the supply itself stay on.
    """
    always = _direct_loads(job, tables)
    names = tuple(circuit.name for circuit in job.circuits)
    if not always.fits(capacity):
        return LeaveOff(names, False, "The loads plugged into the supply alone are too much")
    loads = _by_worth(job.circuits, legs, system)
    search = _Search(loads, capacity)
    kept = search.best_from(always)
    text = "Lowest priority left off first, on the legs as wired; least loss of priority"
    if search.exhausted:
        text += ", not proven least"
    return LeaveOff(
        tuple(name for place, name in enumerate(names) if not kept >> place & 1), True, text
    )


def _direct_loads(job: Job, tables: SizingTables) -> _Kept:
    kept = _Kept(ZERO, ZERO, ZERO, ZERO)
    for load in job.direct_loads:
        both = job.supply.system == "120/240" and tables.configurations[load.outlet].system != "120"
        half = load.running_w / 2 if both else ZERO
        step = load.starting_w - load.running_w
        kept = kept.with_load(_Load(0, 0, load.running_w, step, half, half))
    return kept


def _by_worth(circuits: Sequence[Circuit], legs: Sequence[Leg], system: System) -> list[_Load]:
    """Loads from the one to keep longest; each is worth more than all below it together."""
    ranks = [0 if circuit.life_support else circuit.priority for circuit in circuits]
    tiers = sorted(set(ranks), reverse=True)
    base = len(circuits) + 1
    worth = {rank: base**power for power, rank in enumerate(tiers)}
    loads = []
    for place, (circuit, leg) in enumerate(zip(circuits, legs, strict=True)):
        watts = circuit.running_w
        on_first = watts if system == "120" or leg == "L1" else ZERO if leg == "L2" else watts / 2
        loads.append(
            _Load(
                place,
                worth[ranks[place]],
                watts,
                circuit.starting_w - watts,
                on_first,
                watts - on_first,
            )
        )
    return sorted(loads, key=lambda load: (-load.worth, load.running, load.place))


class _Search:
    """Branch and bound over keeping or leaving each load, most worth first."""

    def __init__(self, loads: Sequence[_Load], capacity: Capacity) -> None:
        self._loads = loads
        self._capacity = capacity
        self._nodes = 0
        self._best = (-1, ZERO)
        self._best_mask = 0
        self._worth_left = [sum(load.worth for load in loads[n:]) for n in range(len(loads) + 1)]
        self.exhausted = False

    def best_from(self, always: _Kept) -> int:
        """Bit mask of the places to keep."""
        self._visit(0, always, 0, 0)
        return self._best_mask

    def _visit(self, depth: int, kept: _Kept, worth: int, mask: int) -> None:
        if (worth, kept.running) > self._best:
            self._best = (worth, kept.running)
            self._best_mask = mask
        if depth == len(self._loads) or worth + self._worth_left[depth] < self._best[0]:
            return
        self._nodes += 1
        if self._nodes > NODE_BUDGET:
            self.exhausted = True
            return
        load = self._loads[depth]
        with_load = kept.with_load(load)
        if with_load.fits(self._capacity):
            self._visit(depth + 1, with_load, worth + load.worth, mask | 1 << load.place)
        self._visit(depth + 1, kept, worth, mask)
