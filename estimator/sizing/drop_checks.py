"""What the voltage drop of the finished design asks: the total, the cord and the terminals."""

from collections.abc import Sequence

from estimator.finding import Finding
from estimator.sizing.equipment import NODE_NAMES
from estimator.sizing.records import CordDesign, RunDesign
from estimator.sizing.tables import SizingTables
from estimator.units import plain, wire_rank


def check_drop(
    runs: Sequence[RunDesign], cord: CordDesign, tables: SizingTables
) -> tuple[Finding, ...]:
    """Findings on cord and feeder together and on wires raised far beyond their ampacity."""
    return (*_total(cord, tables), *_terminals(runs, tables))


def _total(cord: CordDesign, tables: SizingTables) -> list[Finding]:
    limit = plain(tables.limits.drop_total_percent)
    if cord.conductor_size != cord.enough_without_drop:
        return [
            Finding(
                "note",
                "CORD_RAISED_FOR_VOLTAGE_DROP",
                f"{cord.enough_without_drop} is enough for the cord's current; "
                f"{cord.conductor_size} keeps cord and feeder together within {limit} %, which is "
                "advice and not a rule.",
                "/cord_length_ft",
                "nec_voltage_drop_note",
                f"Check that plug and connector take {cord.conductor_size}, or shorten the cord to "
                f"stay with {cord.enough_without_drop}.",
            )
        ]
    if cord.total_drop_percent <= tables.limits.drop_total_percent:
        return []
    return [
        Finding(
            "warning",
            "VOLTAGE_DROP_TOTAL",
            f"Cord ({plain(cord.voltage_drop_percent)} %) and feeder together lose "
            f"{plain(cord.total_drop_percent)} %, over the {limit} % that is advised in all, and "
            f"no larger cord of {cord.conductors} wires and this length is stocked that holds it.",
            "/cord_length_ft",
            "nec_voltage_drop_note",
            "Shorten the cord, have one with larger conductors made up, or lower "
            "voltage_drop_target_percent so that the run is raised.",
        )
    ]


def _terminals(runs: Sequence[RunDesign], tables: SizingTables) -> list[Finding]:
    sizes = tuple(tables.circular_mils)
    findings = []
    for run in runs:
        hots = [c.size for c in run.conductors if c.role == "ungrounded"]
        if not hots or run.enough_without_drop not in sizes:
            continue
        used = max(hots, key=wire_rank)
        steps = sizes.index(used) - sizes.index(run.enough_without_drop)
        if steps > tables.limits.terminal_steps_free:
            findings.append(_terminals_too_small(run, used, steps))
    return findings


def _terminals_too_small(run: RunDesign, used: str, steps: int) -> Finding:
    ends = " and ".join(NODE_NAMES[node] for node in (run.from_, run.to))
    return Finding(
        "note",
        "TERMINALS_MAY_NOT_TAKE_WIRE",
        f"Voltage drop raised run {run.index + 1} by {steps} sizes, from "
        f"{run.enough_without_drop} to {used}; the terminals of {ends} may be too small for it.",
        f"/runs/{run.index}",
        "nec_conductor_materials",
        f"Read on both what wire sizes they take. Where {used} does not go in, end it on a listed "
        f"splicing block and go on with a short tail of {run.enough_without_drop}.",
    )
