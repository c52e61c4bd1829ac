"""The take-off's tables, read once in a process and laid out for quick look-up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from typing import TypeVar

from estimator.basis import Because, because
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.sizing.table_rows import CordSetRow
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.labour_units import LabourUnits, load_labour_units
from estimator.takeoff.part_kinds import PartKinds, load_part_kinds
from estimator.takeoff.table_rows import (
    AllowanceRow,
    AnchorRow,
    BoxSpliceRow,
    CabinetKnockoutRow,
    CableFittingRow,
    CableWallRow,
    ConsumableRow,
    FastenerLengthRow,
    GroundBarRow,
    InletKnockoutRow,
    LabourFactor,
    MakeUpRow,
    MethodRow,
    MountedItemRow,
    NippleLengthRow,
    OldWorkBoxRow,
    PullBoxRow,
    RunLabourRow,
    SupportRow,
    SurfaceRow,
    SurgeProtectorRow,
    SwitchKnockoutRow,
    WallHoleRow,
)
from estimator.units import TRADE_SIZES, inches, plain, trade_rank

Row = TypeVar("Row")
SizedRow = TypeVar("SizedRow", SupportRow, RunLabourRow)


@dataclass(frozen=True, slots=True)
class TakeOffTables:
    """Every figure the take-off uses.

    supports, run_labour: by wiring method and trade size ("" for cable). cable_fittings: by
    cable and size. anchors: by surface and duty. fastener_lengths: by fastener, shortest
    first, as (inches, text). labour_reasons: why a task has its unit hours, by code.
    """

    kinds: PartKinds
    methods: Mapping[str, MethodRow]
    supports: Mapping[tuple[str, str], SupportRow]
    make_up: Mapping[str, MakeUpRow]
    allowances: Mapping[str, AllowanceRow]
    cord_sets: tuple[CordSetRow, ...]
    inlet_knockouts: Mapping[str, tuple[InletKnockoutRow, ...]]
    switch_knockouts: tuple[SwitchKnockoutRow, ...]
    cabinet_knockouts: Mapping[str, tuple[str, ...]]
    ground_bars: tuple[GroundBarRow, ...]
    mounted_items: Mapping[str, MountedItemRow]
    surfaces: Mapping[str, SurfaceRow]
    anchors: Mapping[tuple[str, str], AnchorRow]
    fastener_lengths: Mapping[str, tuple[tuple[Decimal, str], ...]]
    nipple_lengths: tuple[NippleLengthRow, ...]
    pull_boxes: tuple[PullBoxRow, ...]
    old_work_boxes: tuple[OldWorkBoxRow, ...]
    surge_protectors: tuple[SurgeProtectorRow, ...]
    cable_fittings: Mapping[tuple[str, str], CableFittingRow]
    cable_walls: Mapping[str, CableWallRow]
    box_splices: tuple[BoxSpliceRow, ...]
    wall_holes: Mapping[str, WallHoleRow]
    consumables: Mapping[str, ConsumableRow]
    run_labour: Mapping[tuple[str, str], RunLabourRow]
    labour: LabourUnits
    labour_reasons: Mapping[str, Because]
    factors: Mapping[str, LabourFactor]

    def with_labour(self, units: LabourUnits) -> "TakeOffTables":
        """The same tables with other labour units."""
        return replace(self, labour=units, labour_reasons=_labour_reasons(units))


@cache
def load_take_off_tables() -> TakeOffTables:
    """The package's own tables, read once in a process. Raises TableError for a broken one."""
    inlet_knockouts: dict[str, tuple[InletKnockoutRow, ...]] = {}
    for row in _rows("inlet_knockouts", InletKnockoutRow, "configuration", "knockout"):
        inlet_knockouts[row.configuration] = (*inlet_knockouts.get(row.configuration, ()), row)
    return TakeOffTables(
        kinds=load_part_kinds(),
        methods={
            row.wiring_method: row for row in _rows("wiring_methods", MethodRow, "wiring_method")
        },
        supports=_by_size(_rows("supports", SupportRow, "wiring_method", "from_size")),
        make_up={row.place: row for row in _rows("make_up", MakeUpRow, "place")},
        allowances={row.name: row for row in _rows("allowances", AllowanceRow, "name")},
        cord_sets=load_sizing_tables().cord_sets,
        inlet_knockouts=inlet_knockouts,
        switch_knockouts=_rows(
            "switch_knockouts", SwitchKnockoutRow, "positions_to", "entry", "knockout"
        ),
        cabinet_knockouts=_cabinet_knockouts(),
        ground_bars=_rows("ground_bars", GroundBarRow, "terminals"),
        mounted_items={row.item: row for row in _rows("mounted_items", MountedItemRow, "item")},
        surfaces={row.surface: row for row in _rows("surfaces", SurfaceRow, "surface")},
        anchors={
            (row.surface, row.duty): row for row in _rows("anchors", AnchorRow, "surface", "duty")
        },
        fastener_lengths=_fastener_lengths(),
        nipple_lengths=_rows("nipple_lengths", NippleLengthRow, "length_in"),
        pull_boxes=_rows("pull_boxes", PullBoxRow, "box"),
        old_work_boxes=_rows("old_work_boxes", OldWorkBoxRow, "gangs"),
        surge_protectors=_rows("surge_protectors", SurgeProtectorRow, "discharge_ka"),
        cable_fittings={
            (row.cable, row.size): row
            for row in _rows("cable_fittings", CableFittingRow, "cable", "size")
        },
        cable_walls={row.surface: row for row in _rows("cable_walls", CableWallRow, "surface")},
        box_splices=_rows("box_splices", BoxSpliceRow, "up_to", "wires"),
        wall_holes={row.trade_size: row for row in _rows("wall_holes", WallHoleRow, "trade_size")},
        consumables={row.name: row for row in _rows("consumables", ConsumableRow, "name")},
        run_labour=_by_size(_rows("run_labour", RunLabourRow, "wiring_method", "from_size")),
        labour=load_labour_units(),
        labour_reasons=_labour_reasons(load_labour_units()),
        factors={row.name: row for row in _rows("labour_factors", LabourFactor, "name")},
    )


def _rows(table: str, row_type: type[Row], *key: str) -> tuple[Row, ...]:
    name = f"{table}.csv"
    text = package_text("estimator.takeoff", f"tables/{name}")
    return read_table(text, row_type, name=name, key=key, sources=load_sources())


def _by_size(rows: Sequence[SizedRow]) -> dict[tuple[str, str], SizedRow]:
    by_size: dict[tuple[str, str], SizedRow] = {}
    for row in rows:
        if row.from_size is None or row.to_size is None:
            by_size[row.wiring_method, ""] = row
            continue
        for trade_size in TRADE_SIZES[trade_rank(row.from_size) : trade_rank(row.to_size) + 1]:
            by_size[row.wiring_method, trade_size] = row
    return by_size


def _cabinet_knockouts() -> dict[str, tuple[str, ...]]:
    knockouts: dict[str, tuple[str, ...]] = {}
    for row in _rows("cabinet_knockouts", CabinetKnockoutRow, "method", "knockout"):
        knockouts[row.method] = (*knockouts.get(row.method, ()), row.knockout)
    return knockouts


def _fastener_lengths() -> dict[str, tuple[tuple[Decimal, str], ...]]:
    lengths: dict[str, list[tuple[Decimal, str]]] = {}
    for row in _rows("fastener_lengths", FastenerLengthRow, "fastener", "length_in"):
        lengths.setdefault(row.fastener, []).append((inches(row.length_in), row.length_in))
    return {fastener: tuple(sorted(found)) for fastener, found in lengths.items()}


def _labour_reasons(units: LabourUnits) -> dict[str, Because]:
    return {
        code: because(
            f"Hours for one {unit.unit}: low, typical and high.",
            unit.source,
            low_h=plain(unit.low_h),
            typical_h=plain(unit.typical_h),
            high_h=plain(unit.high_h),
        )
        for code, unit in units.items()
    }
