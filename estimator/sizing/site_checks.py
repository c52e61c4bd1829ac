"""Rules that are yes or no for the place of the job: panel, rooms, permit, whole feed."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.fill import HUNDRED
from estimator.sizing.records import CordDesign, RunDesign
from estimator.sizing.runs import bundle_of, feeder_drop_percent
from estimator.sizing.tables import SizingTables
from estimator.units import plain, rounded


def check_site(
    job: Job, runs: Sequence[RunDesign], cord: CordDesign, tables: SizingTables
) -> tuple[Finding, ...]:
    """Findings that need the finished design or none of it."""
    return (
        *_not_built(job),
        *_missing_runs(job),
        *_total_drop(runs, cord, tables),
        *_afci(job, runs, tables),
        *_panel(job, runs, tables),
        _working_space(tables),
        _permit(),
    )


def _not_built(job: Job) -> list[Finding]:
    if job.transfer.method == "manual_switch":
        return []
    name = job.transfer.method.replace("_", " ")
    return [
        Finding(
            "error",
            "TRANSFER_NOT_BUILT",
            f"Transfer by {name} is not designed yet: load study, cord and the run from the inlet "
            "are, breakers and the run to the load centre are not.",
            "/transfer/method",
            "own_convention",
            "Use manual_switch, or have the rest designed by hand.",
        )
    ]


def _missing_runs(job: Job) -> list[Finding]:
    ends = {frozenset((run.from_, run.to)) for run in job.runs}
    wanted = [("inlet", "transfer")]
    if job.transfer.method == "manual_switch":
        wanted.append(("transfer", "load_centre"))
    else:
        if frozenset(("inlet", "load_centre")) in ends:
            return []
    return [
        Finding(
            "error",
            "RUN_MISSING",
            f"The job has no run from {start.replace('_', ' ')} to {end.replace('_', ' ')}.",
            "/runs",
            "job_description",
            f"Add a run from {start} to {end} with its length and wiring method.",
        )
        for start, end in wanted
        if frozenset((start, end)) not in ends
    ]


def _total_drop(runs: Sequence[RunDesign], cord: CordDesign, tables: SizingTables) -> list[Finding]:
    total = feeder_drop_percent(runs) + cord.voltage_drop_percent
    limit = tables.limits.drop_total_percent
    if total <= limit:
        return []
    return [
        Finding(
            "warning",
            "VOLTAGE_DROP_TOTAL",
            f"Cord ({plain(cord.voltage_drop_percent)} %) and feeder together lose "
            f"{plain(total)} %, over the {plain(limit)} % that is advised in all.",
            "/cord_length_ft",
            "nec_voltage_drop_note",
            "Shorten the cord or use one with larger conductors, or lower "
            "voltage_drop_target_percent so that the run is raised.",
        )
    ]


def _afci(job: Job, runs: Sequence[RunDesign], tables: SizingTables) -> list[Finding]:
    limit = tables.limits.afci_extension_max_ft
    bare = [c.name for c in job.circuits if c.protection not in ("afci", "dual") and c.poles == 1]
    if not bare:
        return []
    return [
        Finding(
            "warning",
            "AFCI_EXTENSION",
            f"The run to the load centre lengthens branch circuits by {plain(run.length_ft)} ft; "
            f"over {plain(limit)} ft those in living rooms need AFCI protection.",
            f"/runs/{run.index}/length_ft",
            "nec_afci_extension",
            f"Mount the transfer equipment within {plain(limit)} ft of the load centre, or give "
            f"AFCI protection to those of {', '.join(bare)} that serve such rooms.",
        )
        for run in runs
        if "inlet" not in (run.from_, run.to) and run.length_ft > limit
    ]


def _panel(job: Job, runs: Sequence[RunDesign], tables: SizingTables) -> list[Finding]:
    to_panel = [run for run in runs if "inlet" not in (run.from_, run.to) and run.conductors]
    if not to_panel or job.transfer.method != "manual_switch":
        return []
    findings = [
        Finding(
            "note",
            "SPLICES_IN_LOAD_CENTRE",
            "The circuits are spliced inside the load centre, which is allowed when there is room.",
            "/load_centre",
            "nec_panel_splices",
            "Ask the inspector: some want the splices in a box beside the load centre.",
        )
    ]
    bundle = bundle_of(to_panel[-1].conductors, tables)
    taken = sum((row.area_in2 * count for row, count in bundle), Decimal(0))
    space = job.load_centre.gutter_in * job.load_centre.gutter_in
    limit = tables.limits.panel_fill_percent
    if taken * HUNDRED > space * limit:
        findings.append(
            Finding(
                "warning",
                "LOAD_CENTRE_CROWDED",
                f"The added conductors take {plain(rounded(taken, 2))} in2 of a "
                f"{plain(job.load_centre.gutter_in)} in wiring space, over {plain(limit)} % of "
                f"its {plain(space)} in2.",
                "/load_centre/gutter_in",
                "nec_panel_splices",
                "Splice in a junction box beside the load centre, or check the real wiring space.",
            )
        )
    return findings


def _working_space(tables: SizingTables) -> Finding:
    limits = tables.limits
    return Finding(
        "note",
        "WORKING_SPACE",
        "The space before the load centre and the transfer equipment has to stay free.",
        "",
        "nec_working_space",
        f"Keep {plain(limits.working_depth_in)} in deep, {plain(limits.working_width_in)} in wide "
        f"and {plain(limits.working_height_in)} in high clear before both.",
    )


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
