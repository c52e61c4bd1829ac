"""The size of a per-circuit manual switch."""

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.equipment import Equipment, rating_not_made
from estimator.sizing.feed import Feed
from estimator.sizing.tables import SizingTables

POINTER = "/transfer"
KIND = "per-circuit switch"


def choose_manual_switch(
    job: Job, feed: Feed, tables: SizingTables
) -> tuple[Equipment, tuple[Finding, ...]]:
    """Smallest switch made that takes the inlet's rating and all poles, or the one stated."""
    needed = sum(circuit.poles for circuit in job.circuits)
    rating = max(job.transfer.rating_a, feed.inlet.amps)
    positions = job.transfer.spaces
    findings: list[Finding] = []
    if positions is not None:
        if positions < needed:
            findings.append(_too_few_spaces(positions, needed, tables))
    else:
        strong = [switch for switch in tables.switches if switch.rating_a >= rating]
        fitting = [switch for switch in strong if switch.positions >= needed]
        if fitting:
            positions, rating = fitting[0].positions, fitting[0].rating_a
        else:
            largest = max(strong or tables.switches, key=lambda row: row.positions)
            if not strong:
                highest = max(row.rating_a for row in tables.switches)
                findings.append(rating_not_made(KIND, rating, highest, "a transfer subpanel"))
            if largest.positions < needed:
                findings.append(_too_many_circuits(largest.positions, needed))
            positions, rating = largest.positions, max(largest.rating_a, rating)
    return (
        Equipment(positions, rating, needed, rating, (), _reasons(job, feed, positions, rating)),
        tuple(findings),
    )


def _reasons(job: Job, feed: Feed, positions: int, rating: int) -> tuple[Because, ...]:
    stated = job.transfer.spaces is not None
    return (
        because(
            "A one-pole circuit takes one position, a two-pole circuit two",
            "common_practice",
            positions_needed=sum(circuit.poles for circuit in job.circuits),
        ),
        because(
            "Rated at least as high as the inlet that feeds it",
            "nec_transfer_equipment",
            inlet_a=feed.inlet.amps,
            transfer_a=rating,
        ),
        because(
            "Positions as the job states" if stated else "Smallest size made that takes both",
            "job_description" if stated else "common_practice",
            positions=positions,
        ),
        because(
            "Odd positions on L1, even ones on L2; two-pole circuits and shared neutrals on "
            "neighbours",
            "own_convention",
        ),
    )


def _too_few_spaces(spaces: int, needed: int, tables: SizingTables) -> Finding:
    sizes = ", ".join(f"{row.positions} x {row.rating_a} A" for row in tables.switches)
    return Finding(
        "error",
        "TRANSFER_SPACES_TOO_FEW",
        f"The circuits take {needed} positions (two for a two-pole circuit) but the switch has "
        f"{spaces}.",
        f"{POINTER}/spaces",
        "nec_listing_instructions",
        f"Leave circuits out until {spaces} positions are enough, or use a switch of {needed} or "
        f"more; made are {sizes}.",
    )


def _too_many_circuits(largest: int, needed: int) -> Finding:
    return Finding(
        "error",
        "TRANSFER_TOO_MANY_CIRCUITS",
        f"The circuits take {needed} positions but the largest per-circuit switch for this inlet "
        f"has {largest}.",
        "/circuits",
        "nec_listing_instructions",
        f"Keep {largest} positions' worth of circuits, or use a transfer subpanel.",
    )
