"""The front door of sizing: from the job description to its electrical design."""

from collections.abc import Sequence

from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.aluminium import check_aluminium
from estimator.sizing.circuit_checks import check_afci, check_circuits, check_feeder_load
from estimator.sizing.circuit_designs import circuit_designs
from estimator.sizing.cord import design_cord
from estimator.sizing.cord_checks import check_cord
from estimator.sizing.direct_loads import check_direct_loads
from estimator.sizing.equipment import CIRCUITS_STAY, Equipment
from estimator.sizing.feed import Feed, describe_feed
from estimator.sizing.legs import LegAssignment, assign_legs
from estimator.sizing.load_study import leg_watts, study_loads
from estimator.sizing.neutral_checks import check_neutral
from estimator.sizing.panel_checks import check_panel
from estimator.sizing.rating_chain import check_chain
from estimator.sizing.records import Design, Leg
from estimator.sizing.runs import design_runs
from estimator.sizing.shared_neutrals import Pair, shared_neutral_pairs
from estimator.sizing.site_checks import check_site
from estimator.sizing.supply_checks import check_supply
from estimator.sizing.surge_protection import check_surge_protection, surge_protector_for
from estimator.sizing.tables import SizingTables
from estimator.sizing.transfer import choose_equipment, place_circuits, transfer_design

SEVERITIES = ("error", "warning", "note")


def design_job(job: Job, tables: SizingTables) -> Design:
    """The whole electrical design of a job with everything found on the way.

    What is wrong with the job comes back as findings, errors first; nothing is raised for it
    and no error hides the rest of the design.
    """
    feed = describe_feed(job, tables)
    pairs, pair_findings = shared_neutral_pairs(job.circuits)
    equipment, equipment_findings = choose_equipment(job, feed, tables)
    assignment = _legs(job, feed, pairs, equipment)
    watts = leg_watts(job, assignment.legs, feed, tables)
    study, study_findings = study_loads(job, feed, assignment, watts, tables)
    positions = place_circuits(job, pairs, assignment.legs, equipment, feed.system)
    runs, run_findings = design_runs(job, feed, watts, tables)
    cord = design_cord(job, feed, watts, runs, tables)
    protector = surge_protector_for(job, tables)
    findings = (
        *pair_findings,
        *equipment_findings,
        *study_findings,
        *check_supply(job, feed, pairs, tables),
        *check_chain(job, feed, pairs),
        *check_cord(job, feed, cord, watts, tables),
        *check_neutral(job, tables),
        *check_panel(job, feed, pairs, equipment, watts, tables),
        *check_direct_loads(job, feed, tables),
        *check_circuits(job, feed, pairs, equipment, tables),
        *check_afci(job, tables),
        *check_feeder_load(job, feed, assignment.legs, tables),
        *run_findings,
        *check_aluminium(job, feed, tables),
        *check_surge_protection(job, protector, equipment, tables),
        *check_site(job, runs, cord, tables),
    )
    return Design(
        load_study=study,
        transfer=transfer_design(job, equipment, positions),
        circuits=circuit_designs(job, assignment.legs, feed.system, positions, runs),
        runs=runs,
        cord=cord,
        findings=_errors_first(findings),
        surge_protector=protector,
    )


def _errors_first(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity)))


def _legs(job: Job, feed: Feed, pairs: Sequence[Pair], equipment: Equipment) -> LegAssignment:
    if feed.system == "120":
        legs: list[Leg] = ["L1+L2" if circuit.poles == 2 else "L1" for circuit in job.circuits]
        return LegAssignment(tuple(legs), True, False)
    if job.transfer.method in CIRCUITS_STAY:
        return assign_legs(job.circuits, pairs)
    return assign_legs(job.circuits, pairs, equipment.per_leg)
