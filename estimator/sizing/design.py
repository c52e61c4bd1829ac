"""The front door of sizing: from the job description to its electrical design."""

from collections.abc import Sequence

from estimator.basis import because
from estimator.finding import Finding
from estimator.job.records import Job, System
from estimator.sizing.circuit_checks import check_circuits, check_feeder_load
from estimator.sizing.cord import design_cord
from estimator.sizing.feed import Feed, describe_feed
from estimator.sizing.legs import LegAssignment, assign_legs
from estimator.sizing.load_study import leg_watts, study_loads
from estimator.sizing.records import CircuitDesign, Design, Leg, RunDesign
from estimator.sizing.runs import design_runs
from estimator.sizing.shared_neutrals import Pair, shared_neutral_pairs
from estimator.sizing.site_checks import check_site
from estimator.sizing.supply_checks import check_supply
from estimator.sizing.tables import SizingTables
from estimator.sizing.transfer import Switch, choose_switch, place_circuits, transfer_design

SEVERITIES = ("error", "warning", "note")


def design_job(job: Job, tables: SizingTables) -> Design:
    """The whole electrical design of a job with everything found on the way.

    What is wrong with the job comes back as findings, errors first; nothing is raised for it
    and no error hides the rest of the design.
    """
    feed = describe_feed(job, tables)
    pairs, pair_findings = shared_neutral_pairs(job.circuits)
    switch, switch_findings = choose_switch(job, feed, tables)
    assignment = _legs(job, feed, pairs, switch)
    watts = leg_watts(job, assignment.legs, feed, tables)
    study, study_findings = study_loads(job, feed, assignment, watts, tables)
    positions = place_circuits(job.circuits, pairs, assignment.legs, switch, feed.system)
    runs, run_findings = design_runs(job, feed, watts, tables)
    cord = design_cord(job, feed, tables)
    findings = (
        *pair_findings,
        *switch_findings,
        *study_findings,
        *check_supply(job, feed, pairs, tables),
        *check_circuits(job, feed, pairs, switch, tables),
        *check_feeder_load(job, feed, assignment.legs, tables),
        *run_findings,
        *check_site(job, runs, cord, tables),
    )
    return Design(
        load_study=study,
        transfer=transfer_design(job, feed, switch, positions),
        circuits=_circuits(job, assignment.legs, feed.system, positions, runs),
        runs=runs,
        cord=cord,
        findings=_errors_first(findings),
    )


def _errors_first(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity)))


def _legs(job: Job, feed: Feed, pairs: Sequence[Pair], switch: Switch) -> LegAssignment:
    if feed.system == "120":
        legs: list[Leg] = ["L1+L2" if circuit.poles == 2 else "L1" for circuit in job.circuits]
        return LegAssignment(tuple(legs), True, False)
    if job.transfer.method == "manual_switch":
        return assign_legs(job.circuits, pairs, switch.per_leg)
    return assign_legs(job.circuits, pairs)


def _leg_reason(leg: Leg, system: System) -> str:
    if leg == "L1+L2":
        return "Two-pole circuit: both legs"
    if system == "120":
        return "The feed has one leg only"
    return "Leg that keeps the heavier leg lightest"


def _circuits(
    job: Job,
    legs: Sequence[Leg],
    system: System,
    positions: Sequence[str],
    runs: Sequence[RunDesign],
) -> tuple[CircuitDesign, ...]:
    sizes = {
        conductor.serves: conductor.size
        for run in runs
        if "inlet" not in (run.from_, run.to)
        for conductor in run.conductors
        if conductor.role == "ungrounded"
    }
    return tuple(
        CircuitDesign(
            name=circuit.name,
            leg=leg,
            breaker_a=circuit.breaker_a,
            poles=circuit.poles,
            conductor_size=sizes.get(circuit.name, ""),
            position=position,
            because=(
                because(
                    _leg_reason(leg, system),
                    "own_convention",
                    running_w=circuit.running_w,
                ),
                because(
                    "Two conductors a pole to the load centre, for the circuit's breaker",
                    "nec_240_4",
                    breaker_a=circuit.breaker_a,
                ),
            ),
        )
        for circuit, leg, position in zip(job.circuits, legs, positions, strict=True)
    )
