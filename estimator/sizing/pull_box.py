"""What a box or conduit body must have where the wires of a run are pulled or turned."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Job, Run
from estimator.sizing.box_fill import BoxContents, box_fill_in3
from estimator.sizing.code_editions import EditionRules
from estimator.sizing.records import PullBox, RunConductor, RunDesign
from estimator.sizing.tables import SizingTables
from estimator.units import circle_area_in2, inches, plain, rounded


def straight_pull_in(trade_size: str, tables: SizingTables) -> Decimal:
    """Least inside length of a box in a straight pull [in]: 8 x the largest raceway.

    Source: 314.28(A)(1). A 2 in raceway asks 16 in.
    """
    return tables.limits.pull_box_straight_factor * inches(trade_size)


def angle_pull_in(largest: str, others: Sequence[str], tables: SizingTables) -> Decimal:
    """Least distance from raceways in one wall of a box to the wall opposite [in].

    6 x the largest, and the others in the same row of that wall added.
    Source: 314.28(A)(2). A 2 in beside a 1-1/4 in raceway asks 13-1/4 in.
    """
    distance = tables.limits.pull_box_angle_factor * inches(largest)
    return distance + sum((inches(other) for other in others), Decimal(0))


def same_conductor_distance_in(trade_size: str, tables: SizingTables) -> Decimal:
    """Least distance between two raceways that hold the same conductors [in]: 6 x the larger."""
    return tables.limits.pull_box_angle_factor * inches(trade_size)


def sized_by_pull(conductors: Sequence[RunConductor], tables: SizingTables) -> bool:
    """Whether any insulated conductor is 4 AWG or larger, so that distances decide."""
    mils, least = tables.circular_mils, tables.limits.pull_box_from_cmil
    return any(mils[conductor.size] >= least for conductor in conductors)


def conduit_body_area_in2(inside_diameter_in: Decimal, tables: SizingTables) -> Decimal:
    """Least cross-section of a conduit body for wires up to 6 AWG [in2].

    Twice that of the largest raceway into it. Source: 314.16(C)(1).
    """
    return circle_area_in2(inside_diameter_in) * tables.limits.conduit_body_area_factor


def pull_box_for(
    run: Run,
    conductors: Sequence[RunConductor],
    trade_size: str | None,
    pull_points: int,
    rules: EditionRules,
    tables: SizingTables,
) -> PullBox | None:
    """What the pull points and wall turns of a raceway run ask; None when it has none."""
    if trade_size is None or not conductors or not (pull_points or run.wall_penetrations):
        return None
    if sized_by_pull(conductors, tables):
        return PullBox(
            straight_in=straight_pull_in(trade_size, tables),
            angle_in=angle_pull_in(trade_size, (), tables),
            volume_in3=None,
            body_area_in2=None,
            because=_pull_reasons(trade_size, tables),
        )
    inside = dict(tables.raceways[run.wiring_method])[trade_size]
    volume = _volume(conductors, rules, tables)
    area = rounded(conduit_body_area_in2(inside, tables), 3)
    return PullBox(None, None, volume, area, _volume_reasons(conductors, volume, area))


def _volume(
    conductors: Sequence[RunConductor], rules: EditionRules, tables: SizingTables
) -> Decimal:
    circuits = [(c.size, c.count) for c in conductors if c.role != "equipment_ground"]
    grounds = [(c.size, c.count) for c in conductors if c.role == "equipment_ground"]
    return box_fill_in3(BoxContents(conductors=circuits, grounds=grounds), rules, tables)


def _pull_reasons(trade_size: str, tables: SizingTables) -> tuple[Because, ...]:
    limits = tables.limits
    return (
        because(
            "Wires of 4 AWG or larger: a box in a straight pull is as long as the raceway's trade "
            "size times the factor, at least",
            "nec_pull_box_straight",
            trade_size=trade_size,
            factor=limits.pull_box_straight_factor,
            straight_in=straight_pull_in(trade_size, tables),
        ),
        because(
            "Where they turn, the wall opposite the entry, and the entry by which they leave, are "
            "as far away as the trade size times the factor, at least",
            "nec_pull_box_angle",
            trade_size=trade_size,
            factor=limits.pull_box_angle_factor,
            angle_in=angle_pull_in(trade_size, (), tables),
        ),
    )


def _volume_reasons(
    conductors: Sequence[RunConductor], volume: Decimal, area: Decimal
) -> tuple[Because, ...]:
    return (
        because(
            "In a box each wire that passes through counts once, and up to four grounds count as "
            "one",
            "nec_box_fill_counts",
            conductors=sum(c.count for c in conductors if c.role != "equipment_ground"),
            volume_in3=volume,
        ),
        because(
            "Wires up to 6 AWG: a conduit body has twice the cross-section of its raceway, and no "
            "splice unless its volume is marked",
            "nec_conduit_body_splices",
            body_area_in2=area,
        ),
    )


def check_pull_boxes(
    job: Job, runs: Sequence[RunDesign], tables: SizingTables
) -> tuple[Finding, ...]:
    """A warning where wires of 4 AWG or larger turn into a wall in a conduit body."""
    return tuple(
        Finding(
            "warning",
            "CONDUIT_BODY_FOR_LARGE_WIRE",
            f"Run {run.index + 1} turns into a wall with wires of 4 AWG or larger. A conduit body "
            f"of {run.trade_size} trade size is too short for them unless it is marked for their "
            f"number and size: {plain(run.pull_box.angle_in)} in are asked from the entry to the "
            "wall opposite.",
            f"/runs/{run.index}/wall_penetrations",
            "nec_pull_body_marked",
            "Use a conduit body marked for these wires, or a box of at least "
            f"{plain(run.pull_box.angle_in)} x {plain(run.pull_box.angle_in)} in inside.",
        )
        for run in runs
        if job.runs[run.index].wall_penetrations
        and run.pull_box is not None
        and run.pull_box.angle_in is not None
    )
