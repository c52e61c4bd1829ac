"""Boxes cut into a finished wall: where cables meet that are fished behind it."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.basis import because
from estimator.sizing.box_fill import BoxContents, box_fill_in3
from estimator.sizing.records import RunConductor, RunDesign
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.boxes import needs_rain_tight
from estimator.takeoff.raceway_plan import has_large_wire
from estimator.takeoff.run_ends import box_stands_by, run_after, run_before
from estimator.takeoff.table_rows import OldWorkBoxRow
from estimator.takeoff.taking import Taking, run_pointer

_TAKES_PLAIN_CABLE = ("NM-B", "UF-B")


def contents_in3(taking: Taking, runs: Sequence[RunDesign]) -> Decimal:
    """Volume that the wires of runs that meet in a box ask for [in3]."""
    wires = [(wire.size, wire.count) for wire in _wires(runs) if wire.role != "equipment_ground"]
    grounds = [(wire.size, wire.count) for wire in _wires(runs) if wire.role == "equipment_ground"]
    clamps = bool(wires) and any(taking.method(run).form == "cable" for run in runs)
    tables = load_sizing_tables()
    contents = BoxContents(conductors=wires, clamps=clamps, grounds=grounds)
    return box_fill_in3(contents, tables.editions[taking.job.site.code_edition], tables)


def _wires(runs: Sequence[RunDesign]) -> list[RunConductor]:
    return [wire for run in runs for wire in run.conductors]


def old_work_box(taking: Taking, earlier: RunDesign, later: RunDesign) -> OldWorkBoxRow | None:
    """The smallest box for a finished wall that holds what meets in it; None where none serves.

    It serves plain cables up to 6 AWG in the dry, each of which its own clamp secures.
    """
    beside, runs = box_stands_by(earlier, later), (earlier, later)
    if not beside.finished_wall or needs_rain_tight(beside):
        return None
    if not all(_by_clamp(run) for run in runs):
        return None
    wanted = contents_in3(taking, runs)
    boxes = taking.tables.old_work_boxes
    return next((row for row in boxes if row.volume_in3 >= wanted), None)


def _by_clamp(run: RunDesign) -> bool:
    by_sleeve = run.place == "underground" and not run.wall_penetrations
    plain = run.wiring_method in _TAKES_PLAIN_CABLE and not has_large_wire(run)
    return plain and bool(run.conductors) and not by_sleeve


def clamped_ends(taking: Taking, run: RunDesign) -> tuple[bool, bool]:
    """Whether the start and the end of a cable are secured by the clamp of an old-work box."""
    before, after = run_before(taking, run), run_after(taking, run)
    return (
        before is not None and old_work_box(taking, before, run) is not None,
        after is not None and old_work_box(taking, run, after) is not None,
    )


def cut_in_box(taking: Taking, row: OldWorkBoxRow, runs: tuple[RunDesign, RunDesign]) -> None:
    """The box with its plate, which hold by themselves, and the work to cut it in."""
    pointers = (run_pointer(runs[0]), run_pointer(runs[1]))
    reason = because(
        "Two cables meet behind a finished wall: the smallest plastic old-work box that holds "
        "their wires and splices, held by its ears and closed by a plate that stays in reach.",
        "nec_box_in_finished_wall",
        volume_wanted_in3=contents_in3(taking, runs),
        volume_in3=row.volume_in3,
    )
    gangs = str(row.gangs)
    values = {"gangs": gangs, "volume_in3": f"{row.volume_in3:f}"}
    taking.parts.add("old_work_box", values, 1, pointers, reason)
    taking.parts.add("blank_plate", {"gangs": gangs}, 1, pointers, reason)
    taking.work.add("cut_in_box", 1, reason)
    taking.work.add("junction_box", 1, reason)


def tell_box_on_finished_wall(taking: Taking, earlier: RunDesign, later: RunDesign) -> None:
    """A note that a surface box stands on a finished wall, as no old-work box serves."""
    if not box_stands_by(earlier, later).finished_wall:
        return
    taking.find(
        "note",
        "BOX_ON_FINISHED_WALL",
        f"Runs {earlier.index + 1} and {later.index + 1} meet at a finished wall, but no old-work "
        "box takes their wires or fittings; a box on the surface is taken off, with its cover in "
        "reach.",
        run_pointer(later),
        "nec_box_in_finished_wall",
        "Let them meet in an unfinished room, or make them one run.",
    )
