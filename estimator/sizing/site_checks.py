"""Rules that are yes or no for the place of the job: panel, rooms, permit, whole feed."""

from collections.abc import Sequence

from estimator.finding import Finding
from estimator.job.records import Job, Node
from estimator.sizing.drop_checks import check_drop
from estimator.sizing.equipment import NODE_NAMES
from estimator.sizing.pull_box import check_pull_boxes
from estimator.sizing.records import CordDesign, RunDesign
from estimator.sizing.splice_space import check_splice_space
from estimator.sizing.tables import SizingTables
from estimator.sizing.working_space import check_working_space
from estimator.units import plain

# Its insulation is excepted from the rule on roofs.
ROOF_EXEMPT = "XHHW-2"


def check_site(
    job: Job, runs: Sequence[RunDesign], cord: CordDesign, tables: SizingTables
) -> tuple[Finding, ...]:
    """Findings that need the finished design or none of it."""
    return (
        *_missing_runs(job),
        *check_drop(runs, cord, tables),
        *_roof(job, tables),
        *check_pull_boxes(job, runs, tables),
        *check_splice_space(job, runs, tables),
        *check_working_space(job, tables),
        _permit(),
    )


def _missing_runs(job: Job) -> list[Finding]:
    ends = {frozenset((run.from_, run.to)) for run in job.runs}
    wanted: tuple[tuple[Node, Node], ...] = (("inlet", "transfer"), ("transfer", "load_centre"))
    if job.transfer.method == "interlock":
        wanted = (("inlet", "load_centre"),)
    return [
        Finding(
            "error",
            "RUN_MISSING",
            f"The job has no run from {NODE_NAMES[start]} to {NODE_NAMES[end]}.",
            "/runs",
            "nec_raceway_complete",
            f"Add a run from {start} to {end} with its length and wiring method.",
        )
        for start, end in wanted
        if frozenset((start, end)) not in ends
    ]


def _roof(job: Job, tables: SizingTables) -> list[Finding]:
    rules = tables.editions[job.site.code_edition]
    return [
        Finding(
            "note",
            "ROOF_CLEARANCE",
            f"Run {index + 1} lies in the sun. Where it lies on a roof, closer than "
            f"{plain(rules.roof_clearance_in)} in ({rules.title}), "
            f"{plain(rules.roof_adder_c)} C are added to the ambient, which is not done here.",
            f"/runs/{index}/ambient_c",
            "nec_ambient_correction_rooftop",
            "Keep it higher above the roof, or give ambient_c of the run with the addition.",
        )
        for index, run in enumerate(job.runs)
        if run.sun_exposed and run.place == "outdoor" and run.insulation != ROOF_EXEMPT
    ]


def _permit() -> Finding:
    return Finding(
        "note",
        "PERMIT",
        "Work of this kind usually needs a permit and an inspection, and the local code may say "
        "more than is checked here.",
        "",
        "common_practice",
        "Ask the local building office before the work starts.",
    )
