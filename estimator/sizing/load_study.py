"""What the supply has to carry, whether it can, and what to leave off when it cannot."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding, Severity
from estimator.job.records import Circuit, DirectLoad, Job
from estimator.sizing.energy import lifetime_energy, recharge_hours, runtime_by_priority
from estimator.sizing.feed import Feed
from estimator.sizing.leave_off import Capacity, circuits_to_leave_off
from estimator.sizing.legs import LegAssignment
from estimator.sizing.records import Leg, LegLoad, LoadStudy
from estimator.sizing.tables import SizingTables
from estimator.units import plain, rounded

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class LegWatts:
    """Watts on each leg [W]. circuits_*: without loads plugged into the supply itself."""

    first: Decimal
    second: Decimal
    circuits_first: Decimal
    circuits_second: Decimal

    @property
    def heavier_of_circuits(self) -> Decimal:
        """Watts of circuits on the heavier leg [W]."""
        return max(self.circuits_first, self.circuits_second)


def leg_watts(job: Job, legs: Sequence[Leg], feed: Feed, tables: SizingTables) -> LegWatts:
    """Watts on each leg; two-pole circuits and split-phase outlets load both by half."""
    first = second = ZERO
    for circuit, leg in zip(job.circuits, legs, strict=True):
        if feed.system == "120" or leg == "L1":
            first += circuit.running_w
        elif leg == "L2":
            second += circuit.running_w
        else:
            first += circuit.running_w / 2
            second += circuit.running_w / 2
    direct = ZERO
    if job.supply.system == "120/240":
        for load in job.direct_loads:
            if tables.configurations[load.outlet].system != "120":
                direct += load.running_w / 2
    return LegWatts(first + direct, second + direct, first, second)


def study_loads(
    job: Job, feed: Feed, assignment: LegAssignment, watts: LegWatts, tables: SizingTables
) -> tuple[LoadStudy, tuple[Finding, ...]]:
    """The load study and its findings."""
    loads: tuple[Circuit | DirectLoad, ...] = (*job.circuits, *job.direct_loads)
    running = sum((load.running_w for load in loads), ZERO)
    step = max((load.starting_w - load.running_w for load in loads), default=ZERO)
    peak = running + max(step, ZERO)
    capacity = _capacity(job, feed)
    leave_off: tuple[str, ...] = ()
    fits: bool | None = None
    findings: list[Finding] = []
    reasons = _reasons(job, feed, assignment, running, peak)
    if capacity is None:
        findings.append(_rating_unknown(job.transfer.method == "automatic_switch"))
    else:
        over = _overloads(capacity, running, peak, watts)
        fits = not over
        if over:
            answer = circuits_to_leave_off(job, assignment.legs, feed.system, capacity, tables)
            leave_off = answer.names
            reasons.append(
                because(answer.text, "job_description", left_off=", ".join(answer.names))
            )
            findings += _overload_findings(job, over, answer.names, answer.enough)
        findings += _marginal(capacity, peak, tables)
    lifetime, cost = lifetime_energy(job.supply)
    return (
        LoadStudy(
            running_w=running,
            starting_peak_w=peak,
            fits=fits,
            legs=(
                ("L1", _leg_load(watts.first, tables)),
                ("L2", _leg_load(watts.second, tables)),
            ),
            leave_off=leave_off,
            runtime_h=runtime_by_priority(job),
            recharge_h=recharge_hours(job.supply),
            lifetime_kwh=lifetime,
            cost_per_kwh=cost,
            because=tuple(reasons),
        ),
        tuple(findings),
    )


def _leg_load(watts: Decimal, tables: SizingTables) -> LegLoad:
    return LegLoad(watts, rounded(watts / tables.limits.leg_volts, 2))


def _capacity(job: Job, feed: Feed) -> Capacity | None:
    supply = job.supply
    if supply.continuous_w is None:
        return None
    surge = supply.continuous_w if supply.surge_w is None else supply.surge_w
    return Capacity(supply.continuous_w, surge, feed.leg_limit_w)


def _overloads(
    capacity: Capacity, running: Decimal, peak: Decimal, watts: LegWatts
) -> list[tuple[str, str, Decimal, Decimal]]:
    """Each limit that is passed: finding code, what is passed, load [W], limit [W]."""
    over = []
    if running > capacity.continuous_w:
        over.append(("SUPPLY_OVERLOADED", "running load", running, capacity.continuous_w))
    if peak > capacity.surge_w:
        over.append(("SUPPLY_SURGE_TOO_LOW", "starting peak", peak, capacity.surge_w))
    limit = capacity.leg_w
    if limit is not None:
        over += [
            ("LEG_OVERLOADED", f"load on {leg}", load, limit)
            for leg, load in (("L1", watts.first), ("L2", watts.second))
            if load > limit
        ]
    return over


def _overload_findings(
    job: Job,
    over: Sequence[tuple[str, str, Decimal, Decimal]],
    leave_off: Sequence[str],
    enough: bool,
) -> list[Finding]:
    automatic = job.transfer.method == "automatic_switch" and not job.transfer.load_management
    severity: Severity = "error" if automatic else "warning"
    source = "nec_capacity_automatic" if automatic else "nec_capacity_manual"
    names = ", ".join(leave_off)
    if not enough:
        remedy = (
            "Even with every circuit off the loads plugged into the supply are too much: unplug "
            "some of them or use a larger supply."
        )
    elif job.transfer.load_management:
        remedy = f"Let load management shed {names}, or use a larger supply."
    elif automatic:
        remedy = f"Add load management, use a larger supply, or leave off {names}."
    else:
        remedy = f"Leave off {names} while the others run, or use a larger supply."
    return [
        Finding(
            severity,
            code,
            f"The {what} of {plain(load)} W is over the {plain(limit)} W that the supply gives.",
            "/supply",
            source,
            remedy,
        )
        for code, what, load, limit in over
    ]


def _marginal(capacity: Capacity, peak: Decimal, tables: SizingTables) -> list[Finding]:
    share = tables.limits.surge_marginal_percent
    surge = capacity.surge_w
    if not surge * share < peak * 100 <= surge * 100:
        return []
    return [
        Finding(
            "warning",
            "STARTING_PEAK_MARGINAL",
            f"The starting peak of {plain(peak)} W is over {plain(share)} % of the {plain(surge)} "
            "W that the supply gives for a moment.",
            "/supply/surge_w",
            "common_practice",
            "Read the motor's starting current from its plate, start it with little else on, or "
            "fit a soft starter.",
        )
    ]


def _rating_unknown(automatic: bool) -> Finding:
    return Finding(
        "warning",
        "SUPPLY_RATING_UNKNOWN",
        "The supply's continuous rating is not in the job, so nobody can say whether it carries "
        "the load.",
        "/supply/continuous_w",
        "nec_capacity_automatic" if automatic else "nec_capacity_manual",
        "Give supply.continuous_w, and supply.surge_w for motors, from the supply's label.",
    )


def _reasons(
    job: Job, feed: Feed, assignment: LegAssignment, running: Decimal, peak: Decimal
) -> list[Because]:
    reasons = [
        because(
            "All loads at once, and the largest starting step on top of the rest",
            "own_convention",
            running_w=running,
            starting_peak_w=peak,
        )
    ]
    if feed.system == "120":
        reasons.append(because("One leg only: every circuit is on L1", "own_convention"))
    elif assignment.limited_by_positions:
        reasons.append(
            because(
                "Legs as even as the switch's positions allow: half of them are on each leg; a "
                "better balance would need more positions on one leg",
                "common_practice",
            )
        )
    else:
        proof = "" if assignment.proven else " (improved by exchanges, not proven least)"
        reasons.append(
            because(f"Circuits on the legs so that the heavier is least{proof}", "own_convention")
        )
    if job.transfer.load_management:
        reasons.append(
            because("Load management sheds what is over the supply", "nec_capacity_automatic")
        )
    if feed.leg_limit_w is not None:
        text = (
            "A leg carries half of the continuous rating"
            if feed.leg_limit_w * 2 == job.supply.continuous_w
            else "A leg carries what the job states"
        )
        reasons.append(because(text, "own_convention", leg_limit_w=feed.leg_limit_w))
    if job.supply.surge_w is None and job.supply.continuous_w is not None:
        reasons.append(
            because(
                "No surge rating given: the starting peak is held against the continuous rating",
                "own_convention",
                continuous_w=job.supply.continuous_w,
            )
        )
    return reasons
