"""The transfer equipment of a job and the place of each circuit on it."""

from collections.abc import Sequence
from heapq import heapify, heappop

from estimator.finding import Finding
from estimator.job.records import Circuit, Job, System
from estimator.sizing.automatic_switch import choose_automatic_switch
from estimator.sizing.equipment import CIRCUITS_STAY, Equipment
from estimator.sizing.feed import Feed
from estimator.sizing.interlock import choose_interlock
from estimator.sizing.manual_switch import choose_manual_switch
from estimator.sizing.records import Leg, TransferDesign
from estimator.sizing.shared_neutrals import Pair
from estimator.sizing.subpanel import choose_subpanel
from estimator.sizing.tables import SizingTables

AS_WIRED = "as wired"


def choose_equipment(
    job: Job, feed: Feed, tables: SizingTables
) -> tuple[Equipment, tuple[Finding, ...]]:
    """The transfer equipment of the job's method, and what stands against it."""
    method = job.transfer.method
    if method == "manual_switch":
        equipment, findings = choose_manual_switch(job, feed, tables)
    elif method == "interlock":
        equipment, findings = choose_interlock(job, feed)
    elif method == "subpanel":
        equipment, findings = choose_subpanel(job, feed, tables)
    else:
        equipment, findings = choose_automatic_switch(job, feed)
    return equipment, (*findings, *_unused_fields(job))


def place_circuits(
    job: Job, pairs: Sequence[Pair], legs: Sequence[Leg], equipment: Equipment, system: System
) -> tuple[str, ...]:
    """Positions of each circuit in list order, "" where none is left.

    Odd positions are on L1 and even ones on L2; two-pole circuits and the halves of a shared
    neutral take an odd position and the even one after it. On a 120 V feed every position is
    on L1. Circuits that stay in the load centre are "as wired".
    """
    if job.transfer.method in CIRCUITS_STAY:
        return (AS_WIRED,) * len(job.circuits)
    return _positions(job.circuits, pairs, legs, equipment.positions, system)


class _Free:
    """Free positions. Neighbours are taken from the low end, as all others are."""

    def __init__(self, positions: int, system: System) -> None:
        self._free = [True] * (positions + 2)
        self._odd = list(range(1, positions + 1, 2))
        self._even = list(range(2, positions + 1, 2))
        self._any = list(range(1, positions + 1))
        self._pairs = list(range(1, positions, 2))
        self._one_leg = system == "120"
        for waiting in (self._odd, self._even, self._any, self._pairs):
            heapify(waiting)

    def neighbours(self) -> int:
        """Lowest odd position that is free with its even neighbour, taken; 0 without one."""
        while self._pairs:
            odd = heappop(self._pairs)
            if self._free[odd] and self._free[odd + 1]:
                self._free[odd] = self._free[odd + 1] = False
                return odd
        return 0

    def one(self, leg: Leg) -> int:
        """Lowest free position on a leg, taken; 0 without one."""
        waiting = self._any if self._one_leg else self._odd if leg == "L1" else self._even
        while waiting:
            position = heappop(waiting)
            if self._free[position]:
                self._free[position] = False
                return position
        return 0


def _positions(
    circuits: Sequence[Circuit],
    pairs: Sequence[Pair],
    legs: Sequence[Leg],
    positions: int,
    system: System,
) -> tuple[str, ...]:
    free = _Free(positions, system)
    partner = dict(pairs) | {other: one for one, other in pairs}
    placed: dict[int, str] = {}
    for number, circuit in enumerate(circuits):
        if number in placed:
            continue
        if circuit.poles == 1 and number not in partner:
            position = free.one(legs[number])
            placed[number] = str(position) if position else ""
            continue
        odd = free.neighbours()
        if circuit.poles == 2:
            placed[number] = f"{odd}-{odd + 1}" if odd else ""
        else:
            other = partner[number]
            first, second = (number, other) if legs[number] == "L1" else (other, number)
            placed[first] = str(odd) if odd else ""
            placed[second] = str(odd + 1) if odd else ""
    return tuple(placed[number] for number in range(len(circuits)))


def transfer_design(job: Job, equipment: Equipment, positions: Sequence[str]) -> TransferDesign:
    """The transfer equipment with the positions that the circuits take."""
    if job.transfer.method in CIRCUITS_STAY:
        used = equipment.needed
    else:
        used = sum(
            circuit.poles
            for circuit, position in zip(job.circuits, positions, strict=True)
            if position
        )
    return TransferDesign(
        method=job.transfer.method,
        rating_a=equipment.rating_a,
        spaces=equipment.positions,
        spaces_needed=equipment.needed,
        spaces_used=used,
        because=equipment.because,
        breakers=equipment.breakers,
    )


def _unused_fields(job: Job) -> list[Finding]:
    """Fields that say something which this kind of transfer does not have."""
    transfer = job.transfer
    name = transfer.method.replace("_", " ")
    findings = []
    if transfer.spaces is not None and transfer.method in CIRCUITS_STAY:
        findings.append(
            Finding(
                "note",
                "SPACES_NOT_USED",
                f"transfer.spaces is {transfer.spaces}, but with an {name} the circuits stay in "
                "the load centre and take no positions.",
                "/transfer/spaces",
                "own_convention",
                "Leave spaces out, or choose manual_switch or subpanel.",
            )
        )
    if transfer.factory_whip and transfer.method != "manual_switch":
        findings.append(
            Finding(
                "note",
                "NO_FACTORY_WHIP",
                f"Equipment of the kind {name} comes without a whip; its wiring is sized as "
                "field wiring.",
                "/transfer/factory_whip",
                "own_convention",
                "Set transfer.factory_whip to false.",
            )
        )
    return findings
