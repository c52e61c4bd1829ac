"""The box where a run goes on in another: as a cable that changes to raceway must."""

from collections.abc import Iterable, Sequence

from estimator.basis import because
from estimator.sizing.pull_box import angle_pull_in
from estimator.sizing.records import RunDesign
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.boxes import (
    BoxWanted,
    needs_rain_tight,
    put_up_boxes,
    smallest_stocked_box,
    tell_box_missing,
)
from estimator.takeoff.cable import cable_fitting, insulated_wires
from estimator.takeoff.old_work import (
    contents_in3,
    cut_in_box,
    old_work_box,
    tell_box_on_finished_wall,
)
from estimator.takeoff.raceway_plan import has_large_wire
from estimator.takeoff.run_ends import box_stands_by, run_after
from estimator.takeoff.table_rows import BoxSpliceRow
from estimator.takeoff.taking import Taking, run_pointer
from estimator.units import trade_rank, wire_rank

_SMALLEST = "1/2"
_GROUND_WIRES = 3
_WIRES = 2


def take_junction_boxes(taking: Taking) -> None:
    """A box with its splices between every two runs that follow each other on one way."""
    for earlier in taking.design.runs:
        later = run_after(taking, earlier)
        if later is None or earlier.factory_whip or later.factory_whip:
            continue
        cut_in = old_work_box(taking, earlier, later)
        if cut_in is not None:
            cut_in_box(taking, cut_in, (earlier, later))
        else:
            tell_box_on_finished_wall(taking, earlier, later)
            _take_box(taking, earlier, later)
        _take_splices(taking, earlier, later, metal=cut_in is None)


def _take_box(taking: Taking, earlier: RunDesign, later: RunDesign) -> None:
    beside = box_stands_by(earlier, later)
    wanted = _wanted(taking, (earlier, later), needs_rain_tight(beside))
    pointers = (run_pointer(earlier), run_pointer(later))
    row = smallest_stocked_box(taking, wanted)
    if row is None:
        what = f"Runs {earlier.index + 1} and {later.index + 1} meet in a box"
        tell_box_missing(taking, "JUNCTION_BOX_NOT_TAKEN_OFF", what, wanted, pointers[0])
        return
    changes = earlier.wiring_method != later.wiring_method
    what = (
        f"{earlier.wiring_method} changes to {later.wiring_method}" if changes else "Two runs meet"
    )
    reason = because(
        f"{what} in a box: the smallest stocked one that holds its wires and splices.",
        "nec_cable_in_raceway_end" if changes else "nec_box_fill_counts",
        box=row.box,
        **wanted.figures,
    )
    put_up_boxes(taking, row, 1, beside, pointers, reason)
    taking.work.add("junction_box", 1, reason)


def _wanted(taking: Taking, runs: Sequence[RunDesign], weather: bool) -> BoxWanted:
    sizes = [_entry_size(taking, run) for run in runs]
    largest = max(sizes, key=trade_rank)
    if any(has_large_wire(run) for run in runs):
        angle_in = angle_pull_in(largest, (), load_sizing_tables())
        return BoxWanted(largest, weather, angle_in=angle_in)
    return BoxWanted(largest, weather, volume_in3=contents_in3(taking, runs))


def _entry_size(taking: Taking, run: RunDesign) -> str:
    if run.trade_size is not None:
        return run.trade_size
    fitting = cable_fitting(taking, run)
    if fitting is None:
        return _SMALLEST
    by_sleeve = run.place == "underground" and not run.wall_penetrations
    return fitting.sleeve or fitting.connector if by_sleeve else fitting.connector


def _take_splices(taking: Taking, earlier: RunDesign, later: RunDesign, *, metal: bool) -> None:
    wires = [insulated_wires(run) for run in (earlier, later)]
    count = max(sum(wire.count for wire in side) for side in wires)
    for number, joined, size in (
        (count, _WIRES, _largest(wire.size for side in wires for wire in side)),
        (1, _WIRES + metal, _largest(_grounds(earlier) + _grounds(later))),
    ):
        if size:
            _take_connectors(taking, (earlier, later), number, joined, size)


def _grounds(run: RunDesign) -> list[str]:
    return [wire.size for wire in run.conductors if wire.role == "equipment_ground"]


def _largest(sizes: Iterable[str]) -> str:
    return max(sizes, key=wire_rank, default="")


def _take_connectors(
    taking: Taking, runs: tuple[RunDesign, RunDesign], count: int, wires: int, size: str
) -> None:
    aluminium = any(wire.material == "al" for run in runs for wire in run.conductors)
    ground = wires == _GROUND_WIRES
    reason = because(
        "The equipment grounds of both runs and the box's pigtail meet in one splice."
        if ground
        else "Each wire is spliced to its fellow in the other run"
        + (", by a connector that is listed for aluminium." if aluminium else "."),
        "nec_metal_box_bonding" if ground else "nec_conductor_materials",
        splices=count,
        wires=wires,
        size=size,
    )
    row = _connector(taking, wires, size, aluminium)
    if row is None:
        return
    values = (
        {"conductors": row.connector}
        if row.kind == "twist_on_connector"
        else {"takes": row.connector, "ports": str(wires)}
    )
    taking.parts.add(row.kind, values, count, tuple(map(run_pointer, runs)), reason)


def _connector(taking: Taking, wires: int, size: str, aluminium: bool) -> BoxSpliceRow | None:
    return next(
        (
            row
            for row in taking.tables.box_splices
            if row.wires == wires
            and wire_rank(row.up_to) >= wire_rank(size)
            and (row.kind == "splicing_connector" or not aluminium)
        ),
        None,
    )
