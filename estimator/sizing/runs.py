"""One run as it is to be built: conductors, raceway, pull points and expansion."""

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Job, Run
from estimator.sizing.automatic_run import plan_automatic_run
from estimator.sizing.bends import check_bends, even_segments, pull_points
from estimator.sizing.burial import burial_reasons, check_burial, riser_raceway
from estimator.sizing.cables import check_cable_made
from estimator.sizing.code_editions import EditionRules
from estimator.sizing.conductor_plan import NO_CONDUCTORS, ConductorPlan, is_cable, is_nipple
from estimator.sizing.expansion import pvc_expansion
from estimator.sizing.feed import Feed
from estimator.sizing.feeder import plan_feeder
from estimator.sizing.fill import Bundle
from estimator.sizing.load_study import LegWatts
from estimator.sizing.pull_box import pull_box_for
from estimator.sizing.raceway import (
    RacewayChoice,
    raceway_findings,
    raceway_reasons,
    smallest_raceway,
)
from estimator.sizing.records import RunConductor, RunDesign
from estimator.sizing.run_reasons import run_reasons
from estimator.sizing.subpanel_run import plan_subpanel_run
from estimator.sizing.switch_run import plan_switch_run
from estimator.sizing.tables import SizingTables
from estimator.sizing.wiring_checks import check_wiring_method
from estimator.units import plain, rounded


def design_runs(
    job: Job, feed: Feed, watts: LegWatts, tables: SizingTables
) -> tuple[tuple[RunDesign, ...], tuple[Finding, ...]]:
    """All runs in the order of the job, and their findings."""
    runs: list[RunDesign] = []
    findings: list[Finding] = []
    rules = tables.editions[job.site.code_edition]
    feeder_ft = sum((run.length_ft for run in job.runs if _is_feeder(run)), Decimal(0))
    for index, run in enumerate(job.runs):
        plan = _plan(job, index, feed, watts, feeder_ft, tables)
        designed, found = _design_run(run, index, plan, rules, tables)
        runs.append(designed)
        findings += found
    return tuple(runs), tuple(findings)


def feeder_drop_percent(runs: Sequence[RunDesign]) -> Decimal:
    """Voltage drop of all runs from the inlet [%]."""
    return sum(
        (run.voltage_drop_percent for run in runs if "inlet" in (run.from_, run.to)), Decimal(0)
    )


def _is_feeder(run: Run) -> bool:
    return "inlet" in (run.from_, run.to)


def _plan(
    job: Job,
    index: int,
    feed: Feed,
    watts: LegWatts,
    feeder_ft: Decimal,
    tables: SizingTables,
) -> ConductorPlan:
    run = job.runs[index]
    if _is_feeder(run):
        # Several feeder runs in a row share the target by their length.
        target = job.voltage_drop_target_percent
        if run.length_ft != feeder_ft:
            target = target * run.length_ft / feeder_ft
        return plan_feeder(job, index, feed, watts, target, tables)
    if job.transfer.method == "manual_switch":
        return plan_switch_run(job, index, feed, tables)
    if job.transfer.method == "subpanel":
        return plan_subpanel_run(job, index, feed, tables)
    if job.transfer.method == "automatic_switch":
        return plan_automatic_run(job, index, feed, watts, tables)
    return NO_CONDUCTORS


def _design_run(
    run: Run, index: int, plan: ConductorPlan, rules: EditionRules, tables: SizingTables
) -> tuple[RunDesign, tuple[Finding, ...]]:
    pointer = f"/runs/{index}"
    nipple = is_nipple(run, tables)
    choice, raceway_because, raceway_found = _raceway(run, plan, nipple, pointer, tables)
    points, pull_because, pull_found = _pull_points(run, plan, pointer, tables)
    expansion = None if plan.factory_whip else pvc_expansion(run, tables)
    return (
        RunDesign(
            index=index,
            from_=run.from_,
            to=run.to,
            wiring_method=run.wiring_method,
            length_ft=run.length_ft,
            trade_size=choice.trade_size if choice else None,
            fill_percent=rounded(choice.fill_percent, 2) if choice else None,
            fill_limit_percent=choice.limit_percent if choice else None,
            bends_deg=run.bends_deg,
            pull_points=points,
            segments_ft=even_segments(run.length_ft, points),
            nipple=nipple and not plan.factory_whip,
            factory_whip=plan.factory_whip,
            current_carrying=plan.current_carrying,
            overcurrent_a=plan.overcurrent_a,
            ampacity_a=plan.ampacity_a,
            enough_without_drop=plan.enough_without_drop,
            voltage_drop_percent=rounded(plan.drop_percent, 2),
            voltage_drop_at_load_percent=_shown(plan.drop_at_load_percent),
            voltage_drop_one_leg_percent=_shown(plan.drop_one_leg_percent),
            conductors=plan.conductors,
            place=run.place,
            exposure=run.exposure,
            sun_exposed=run.sun_exposed,
            surface=run.surface,
            insulation=run.insulation,
            wall_penetrations=run.wall_penetrations,
            finished_wall=run.finished_wall,
            expansion_fittings=expansion.fittings if expansion else 0,
            expansion_change_in=rounded(expansion.change_in, 3) if expansion else None,
            because=(
                *plan.because,
                *raceway_because,
                *pull_because,
                *((expansion.because,) if expansion else ()),
                *(
                    ()
                    if plan.factory_whip
                    else run_reasons(run, choice.trade_size if choice else None, rules, tables)
                ),
                *burial_reasons(run, tables),
            ),
            pull_box=pull_box_for(
                run,
                plan.conductors,
                choice.trade_size if choice else None,
                points,
                rules,
                tables,
            ),
        ),
        (
            *plan.findings,
            *check_wiring_method(run, index, tables),
            *check_cable_made(run, pointer, tables),
            *check_burial(run, index, tables),
            *check_bends(run, pointer, tables),
            *raceway_found,
            *pull_found,
        ),
    )


def _shown(percent: Decimal | None) -> Decimal | None:
    return None if percent is None else rounded(percent, 2)


def bundle_of(conductors: Sequence[RunConductor], tables: SizingTables) -> Bundle:
    """The conductors of a run by size."""
    counts: Counter[tuple[str, str]] = Counter()
    for conductor in conductors:
        counts[conductor.insulation, conductor.size] += conductor.count
    return tuple(
        (tables.dimensions[insulation][size], count) for (insulation, size), count in counts.items()
    )


def _raceway(
    run: Run, plan: ConductorPlan, nipple: bool, pointer: str, tables: SizingTables
) -> tuple[RacewayChoice | None, tuple[Because, ...], tuple[Finding, ...]]:
    if is_cable(run, tables) or plan.factory_whip or not plan.conductors:
        return None, (), ()
    bundle = bundle_of(plan.conductors, tables)
    choice = smallest_raceway(run.wiring_method, bundle, nipple, tables)
    riser, up = riser_raceway(run), None
    if choice is not None and riser is not None:
        up = smallest_raceway(riser, bundle, nipple, tables, choice.trade_size)
        choice = up and smallest_raceway(run.wiring_method, bundle, nipple, tables, up.trade_size)
    if choice is None:
        tightest = riser or run.wiring_method
        largest = tables.raceways[tightest][-1][0]
        return None, (), (_no_raceway(run, tightest, largest, pointer),)
    count = sum(number for _, number in bundle)
    return (
        choice,
        (*raceway_reasons(choice, count, nipple), *_riser_reason(riser, up)),
        raceway_findings(
            up or choice, riser or run.wiring_method, f"{pointer}/wiring_method", tables
        ),
    )


def _riser_reason(riser: str | None, choice: RacewayChoice | None) -> tuple[Because, ...]:
    if riser is None or choice is None:
        return ()
    return (
        because(
            f"The risers are {riser}, whose bore is smaller: the whole run has the trade size "
            "that they need",
            "nec_underground_protection",
            trade_size=choice.trade_size,
            riser_fill_percent=rounded(choice.fill_percent, 2),
            limit_percent=choice.limit_percent,
        ),
    )


def _no_raceway(run: Run, raceway: str, largest: str, pointer: str) -> Finding:
    risers = "" if raceway == run.wiring_method else " for the risers"
    return Finding(
        "error",
        "NO_RACEWAY_HOLDS",
        f"Even {largest} {raceway}{risers}, the largest there is, cannot hold the conductors.",
        f"{pointer}/wiring_method",
        "nec_ch9_t1",
        "Split the circuits over two raceways, or use EMT, PVC-40 or RMC, which come larger.",
    )


def _pull_points(
    run: Run, plan: ConductorPlan, pointer: str, tables: SizingTables
) -> tuple[int, tuple[Because, ...], tuple[Finding, ...]]:
    if is_cable(run, tables) or plan.factory_whip:
        return 0, (), ()
    limit = tables.limits.bends_max_deg
    points = pull_points(run.bends_deg, limit)
    if points == 0:
        return 0, (), ()
    bends = sum(run.bends_deg, Decimal(0))
    return (
        points,
        (
            because(
                "Pull points so that no stretch bends more than it may, bends taken in order; "
                "where they stand is not known, so the stretches are even",
                "nec_bends_360",
                bends_deg=bends,
                max_deg=limit,
                pull_points=points,
            ),
        ),
        (
            Finding(
                "note",
                "PULL_POINT_ADDED",
                f"The run bends {plain(bends)} degrees in all; no more than {plain(limit)} may be "
                f"between pull points, so {points} {'is' if points == 1 else 'are'} added.",
                f"{pointer}/bends_deg",
                "nec_bends_360",
                "Place each pull point after no more than "
                f"{plain(limit)} degrees, or find a way with fewer bends.",
            ),
        ),
    )
