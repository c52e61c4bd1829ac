"""The size of the per-circuit manual switch and the place of each circuit on it."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.basis import because
from estimator.finding import Finding
from estimator.job.records import Circuit, Job, System
from estimator.sizing.feed import Feed
from estimator.sizing.records import Leg, TransferDesign
from estimator.sizing.shared_neutrals import Pair
from estimator.sizing.tables import SizingTables

POINTER = "/transfer"


@dataclass(frozen=True, slots=True)
class Switch:
    """The transfer equipment before circuits are placed on it."""

    positions: int
    rating_a: int
    needed: int

    @property
    def per_leg(self) -> tuple[int, int]:
        """Positions on L1 (odd numbers) and on L2 (even numbers)."""
        return (self.positions + 1) // 2, self.positions // 2


def choose_switch(job: Job, feed: Feed, tables: SizingTables) -> tuple[Switch, tuple[Finding, ...]]:
    """Smallest switch made that takes the inlet's rating and all poles, or the one stated."""
    needed = sum(circuit.poles for circuit in job.circuits)
    rating = max(job.transfer.rating_a, feed.inlet.amps)
    findings: list[Finding] = []
    if job.transfer.rating_a < feed.inlet.amps:
        findings.append(_rated_below_inlet(job, feed))
    if job.transfer.spaces is not None:
        if job.transfer.spaces < needed and job.transfer.method == "manual_switch":
            findings.append(_too_few_spaces(job.transfer.spaces, needed, tables))
        return Switch(job.transfer.spaces, rating, needed), tuple(findings)
    strong = [switch for switch in tables.switches if switch.rating_a >= rating]
    for switch in strong:
        if switch.positions >= needed:
            return Switch(switch.positions, switch.rating_a, needed), tuple(findings)
    largest = max(strong or tables.switches, key=lambda switch: switch.positions)
    if job.transfer.method == "manual_switch":
        findings.append(_too_many_circuits(largest.positions, needed))
    return Switch(largest.positions, max(largest.rating_a, rating), needed), tuple(findings)


def place_circuits(
    circuits: Sequence[Circuit],
    pairs: Sequence[Pair],
    legs: Sequence[Leg],
    switch: Switch,
    system: System,
) -> tuple[str, ...]:
    """Positions of each circuit in list order, "" where none is left.

    Odd positions are on L1 and even ones on L2; two-pole circuits and the halves of a shared
    neutral take an odd position and the even one after it. On a 120 V feed every position is
    on L1.
    """
    free = set(range(1, switch.positions + 1))
    partner = dict(pairs) | {other: one for one, other in pairs}
    placed: dict[int, str] = {}
    for number, circuit in enumerate(circuits):
        if number in placed:
            continue
        if circuit.poles == 2 or number in partner:
            odd = _free_neighbours(free)
            free -= {odd, odd + 1}
            if circuit.poles == 2:
                placed[number] = f"{odd}-{odd + 1}" if odd else ""
            else:
                other = partner[number]
                first, second = (number, other) if legs[number] == "L1" else (other, number)
                placed[first] = str(odd) if odd else ""
                placed[second] = str(odd + 1) if odd else ""
        else:
            fitting = [
                position
                for position in free
                if system == "120" or position % 2 == (legs[number] == "L1")
            ]
            if fitting:
                free.discard(min(fitting))
            placed[number] = str(min(fitting)) if fitting else ""
    return tuple(placed[number] for number in range(len(circuits)))


def _free_neighbours(free: set[int]) -> int:
    """Lowest free odd position whose even neighbour is free too; 0 when there is none."""
    return min((odd for odd in free if odd % 2 and odd + 1 in free), default=0)


def transfer_design(
    job: Job, feed: Feed, switch: Switch, positions: Sequence[str]
) -> TransferDesign:
    """The transfer equipment with the positions that the circuits take."""
    used = sum(
        circuit.poles for circuit, position in zip(job.circuits, positions, strict=True) if position
    )
    stated = job.transfer.spaces is not None
    return TransferDesign(
        method=job.transfer.method,
        rating_a=switch.rating_a,
        spaces=switch.positions,
        spaces_needed=switch.needed,
        spaces_used=used,
        because=(
            because(
                "A one-pole circuit takes one position, a two-pole circuit two",
                "common_practice",
                positions_needed=switch.needed,
            ),
            because(
                "Rated at least as high as the inlet that feeds it",
                "nec_transfer_equipment",
                inlet_a=feed.inlet.amps,
                transfer_a=switch.rating_a,
            ),
            because(
                "Positions as the job states" if stated else "Smallest size made that takes both",
                "job_description" if stated else "common_practice",
                positions=switch.positions,
            ),
            because(
                "Odd positions on L1, even ones on L2; two-pole circuits and shared neutrals on "
                "neighbours",
                "own_convention",
            ),
        ),
    )


def _sizes(tables: SizingTables) -> str:
    return ", ".join(f"{switch.positions} x {switch.rating_a} A" for switch in tables.switches)


def _rated_below_inlet(job: Job, feed: Feed) -> Finding:
    return Finding(
        "error",
        "TRANSFER_RATED_BELOW_INLET",
        f"The transfer equipment is rated {job.transfer.rating_a} A but a {feed.inlet.amps} A "
        f"inlet feeds it; the design goes on with {feed.inlet.amps} A.",
        f"{POINTER}/rating_a",
        "nec_transfer_equipment",
        f"Use transfer equipment of {feed.inlet.amps} A or more, or an inlet of "
        f"{job.transfer.rating_a} A.",
    )


def _too_few_spaces(spaces: int, needed: int, tables: SizingTables) -> Finding:
    return Finding(
        "error",
        "TRANSFER_SPACES_TOO_FEW",
        f"The circuits take {needed} positions (two for a two-pole circuit) but the switch has "
        f"{spaces}.",
        f"{POINTER}/spaces",
        "common_practice",
        f"Leave circuits out until {spaces} positions are enough, or use a switch of {needed} or "
        f"more; made are {_sizes(tables)}.",
    )


def _too_many_circuits(largest: int, needed: int) -> Finding:
    return Finding(
        "error",
        "TRANSFER_TOO_MANY_CIRCUITS",
        f"The circuits take {needed} positions but the largest per-circuit switch for this inlet "
        f"has {largest}.",
        "/circuits",
        "common_practice",
        f"Keep {largest} positions' worth of circuits, or use a transfer subpanel.",
    )
