"""The sizing tables, read once in a process and laid out for look-up."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from functools import cache
from types import MappingProxyType
from typing import TypeVar

from estimator.job.configurations import Configuration, load_configurations
from estimator.job.records import CodeEdition, Material
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.sizing.code_editions import EditionRules, load_editions
from estimator.sizing.table_rows import (
    AcImpedanceRow,
    AmbientRow,
    AmpacityRow,
    BendRadiusRow,
    BoxAllowanceRow,
    BoxRow,
    BundlingRow,
    BurialRow,
    CableDiameterRow,
    CableRow,
    ColourRow,
    ConductorRow,
    Conduit,
    CordRow,
    CordSetRow,
    DcResistanceRow,
    EquipmentGroundRow,
    FillRow,
    InsulationRow,
    LimitRow,
    OvercurrentRow,
    PermittedUseRow,
    RacewayRow,
    SmallConductorRow,
    SpliceSizeRow,
    SwitchRow,
    TerminalMaterialRow,
    TerminalRow,
    TransferPanelRow,
    WiringMethodRow,
    WorkingSpaceRow,
)
from estimator.sizing.voltage_drop import effective_ohm_per_kft
from estimator.units import wire_rank

Row = TypeVar("Row")
CONDUITS: tuple[Conduit, ...] = ("nonmetallic", "aluminium", "steel")
MATERIALS: tuple[Material, ...] = ("cu", "al")


@dataclass(frozen=True, slots=True)
class CodeLimits:
    """The loose numbers of rules, in the unit that the name ends with; ratios have none."""

    leg_volts: Decimal
    both_legs_volts: Decimal
    nipple_max_in: Decimal
    nipple_fill_percent: Decimal
    bends_max_deg: Decimal
    bends_believable_deg: Decimal
    single_bend_max_deg: Decimal
    continuous_percent: Decimal
    next_size_up_max_a: Decimal
    round_up_count_at: Decimal
    jam_ratio_low: Decimal
    jam_ratio_high: Decimal
    drop_total_percent: Decimal
    cord_rated_c: Decimal
    table_8_up_to_cmil: Decimal
    pvc_expansion_in_per_in_f: Decimal
    expansion_fitting_from_in: Decimal
    sun_adder_f: Decimal
    expansion_travel_in: Decimal
    tight_fill_share: Decimal
    liquidtight_nonmetallic_short_ft: Decimal
    riser_below_in: Decimal
    riser_above_ft: Decimal
    afci_extension_max_ft: Decimal
    inlet_disconnect_from_a: Decimal
    generator_large_w: Decimal
    gfci_outlet_max_a: Decimal
    surge_marginal_percent: Decimal
    panel_fill_percent: Decimal
    panel_fill_with_splices_percent: Decimal
    power_factor: Decimal
    terminal_steps_free: Decimal
    grounds_counted_once: Decimal
    further_ground_share: Decimal
    device_allowances: Decimal
    conduit_body_area_factor: Decimal
    pull_box_from_cmil: Decimal
    pull_box_straight_factor: Decimal
    pull_box_angle_factor: Decimal


@dataclass(frozen=True, slots=True)
class SizingTables:
    """Ready look-ups over the published tables.

    ampacity: (material, column [C]) to ampacity [A] by size, small to large.
    ambient: insulation column [C] to bands (hottest [C], factor or None), cool to hot.
    small_conductors: (size, material) to the largest overcurrent device [A].
    overcurrent: standard ratings [A] by code edition, ascending.
    dimensions: insulation to the outside of a conductor by size. raceways: method to (trade size,
    inside diameter [in]), small to large. ohm_per_kft: (material, conduit) to the value that
    voltage drop uses by size, small to large. cords: (size, ampacity of two current-carrying
    conductors [A]), small to large. cord_sets: stocked cords, short to long within a size.
    colours: (run, use) to colour. editions: what differs between editions. box_allowances: size
    to volume [in3]. boxes: standard boxes, small to large. working_space: (item, highest voltage
    to ground [V]) to its measure. splice_sizes: small to large.
    cables: (cable, material) to the ground inside by size, small to large. cable_major_in: (cable,
    material, size, conductors) to the outside [in]. permitted_uses: (method, condition) to row.
    burial_cover: location to row. bend_radii: trade size to row. terminal_materials: in the order
    of the table. raceway_rows, dc, ac: the rows as printed.
    """

    ampacity: Mapping[tuple[Material, int], Mapping[str, Decimal]]
    ambient: Mapping[int, tuple[tuple[int, Decimal | None], ...]]
    bundling: tuple[BundlingRow, ...]
    small_conductors: Mapping[tuple[str, Material], Decimal]
    overcurrent: Mapping[CodeEdition, tuple[int, ...]]
    equipment_grounds: tuple[EquipmentGroundRow, ...]
    dimensions: Mapping[str, Mapping[str, ConductorRow]]
    raceways: Mapping[str, tuple[tuple[str, Decimal], ...]]
    fill: tuple[FillRow, ...]
    circular_mils: Mapping[str, Decimal]
    ohm_per_kft: Mapping[tuple[Material, Conduit], Mapping[str, Decimal]]
    cords: tuple[tuple[str, Decimal], ...]
    cord_sets: tuple[CordSetRow, ...]
    terminals: tuple[TerminalRow, ...]
    switches: tuple[SwitchRow, ...]
    transfer_panels: tuple[TransferPanelRow, ...]
    insulations: Mapping[str, InsulationRow]
    wiring_methods: Mapping[str, WiringMethodRow]
    permitted_uses: Mapping[tuple[str, str], PermittedUseRow]
    cables: Mapping[tuple[str, Material], Mapping[str, str]]
    cable_major_in: Mapping[tuple[str, Material, str, int], Decimal]
    burial_cover: Mapping[str, BurialRow]
    bend_radii: Mapping[str, BendRadiusRow]
    terminal_materials: tuple[TerminalMaterialRow, ...]
    colours: Mapping[tuple[str, str], str]
    limits: CodeLimits
    editions: Mapping[CodeEdition, EditionRules]
    box_allowances: Mapping[str, Decimal]
    boxes: tuple[BoxRow, ...]
    working_space: Mapping[tuple[str, int], Decimal]
    splice_sizes: tuple[SpliceSizeRow, ...]
    configurations: Mapping[str, Configuration]
    raceway_rows: tuple[RacewayRow, ...]
    dc: tuple[DcResistanceRow, ...]
    ac: tuple[AcImpedanceRow, ...]


@cache
def load_sizing_tables() -> SizingTables:
    """All sizing tables, read once in a process. Raises TableError when one is broken."""
    dc = _rows("dc_resistance", DcResistanceRow, "size", "stranding")
    ac = _rows("ac_impedance", AcImpedanceRow, "size", "material", "conduit")
    conductors = _rows("conductor_dimensions", ConductorRow, "insulation", "size")
    raceways = _rows("raceway_dimensions", RacewayRow, "raceway", "trade_size")
    limits = _limits()
    small = _rows("small_conductors", SmallConductorRow, "size", "material")
    ratings = _rows("overcurrent_ratings", OvercurrentRow, "rating_a")
    colours = _rows("colours", ColourRow, "run", "use")
    cords = _rows("cord_ampacity", CordRow, "size")
    editions = load_editions()
    return SizingTables(
        ampacity=_ampacity(),
        ambient=_ambient(),
        bundling=_rows("bundling", BundlingRow, "conductors_low"),
        small_conductors={(row.size, row.material): row.max_overcurrent_a for row in small},
        overcurrent={
            edition: tuple(
                sorted((*(row.rating_a for row in ratings), *rules.added_standard_ratings_a))
            )
            for edition, rules in editions.items()
        },
        equipment_grounds=_rows("equipment_grounds", EquipmentGroundRow, "overcurrent_a"),
        dimensions=_dimensions(conductors),
        raceways={
            raceway: tuple(
                (row.trade_size, row.inside_diameter_in)
                for row in sorted(raceways, key=lambda row: row.inside_diameter_in)
                if row.raceway == raceway
            )
            for raceway in {row.raceway for row in raceways}
        },
        fill=_rows("fill_limits", FillRow, "conductors_low"),
        circular_mils={row.size: row.circular_mils for row in dc if row.stranding == "stranded"},
        ohm_per_kft=_ohm_per_kft(dc, ac, limits),
        cords=tuple(
            (row.size, row.two_conductors_a)
            for row in sorted(cords, key=lambda row: wire_rank(row.size))
        ),
        cord_sets=_rows("cord_sets", CordSetRow, "conductor_size", "conductors", "length_ft"),
        terminals=_rows("terminal_columns", TerminalRow, "circuit_a_max"),
        switches=tuple(
            sorted(
                _rows("switches", SwitchRow, "positions", "rating_a"),
                key=lambda row: (row.positions, row.rating_a),
            )
        ),
        transfer_panels=tuple(
            sorted(
                _rows("transfer_panels", TransferPanelRow, "positions", "rating_a"),
                key=lambda row: (row.positions, row.rating_a),
            )
        ),
        insulations={
            row.insulation: row for row in _rows("insulations", InsulationRow, "insulation")
        },
        wiring_methods={
            row.wiring_method: row
            for row in _rows("wiring_methods", WiringMethodRow, "wiring_method")
        },
        permitted_uses={
            (row.wiring_method, row.condition): row
            for row in _rows("permitted_uses", PermittedUseRow, "wiring_method", "condition")
        },
        cables=_cables(),
        cable_major_in={
            (row.cable, row.material, row.size, row.conductors): row.major_in
            for row in _rows(
                "cable_diameters", CableDiameterRow, "cable", "material", "size", "conductors"
            )
        },
        burial_cover={row.location: row for row in _rows("burial_cover", BurialRow, "location")},
        bend_radii={
            row.trade_size: row for row in _rows("bend_radii", BendRadiusRow, "trade_size")
        },
        terminal_materials=_rows(
            "terminal_materials", TerminalMaterialRow, "equipment", "rated_a_max"
        ),
        colours={(row.run, row.use): row.colour for row in colours},
        limits=limits,
        editions=editions,
        box_allowances={
            row.size: row.volume_in3 for row in _rows("box_allowances", BoxAllowanceRow, "size")
        },
        boxes=tuple(
            sorted(_rows("boxes", BoxRow, "form", "dimensions_in"), key=lambda row: row.volume_in3)
        ),
        working_space={
            (row.item, row.volts_to_ground_max): row.value
            for row in _rows("working_space", WorkingSpaceRow, "item", "volts_to_ground_max")
        },
        splice_sizes=tuple(
            sorted(
                _rows("splice_sizes", SpliceSizeRow, "up_to"),
                key=lambda row: wire_rank(row.up_to),
            )
        ),
        configurations=load_configurations(),
        raceway_rows=raceways,
        dc=dc,
        ac=ac,
    )


def _rows(name: str, row_type: type[Row], *key: str) -> tuple[Row, ...]:
    file = f"tables/{name}.csv"
    return read_table(
        package_text("estimator.sizing", file), row_type, name=file, key=key, sources=load_sources()
    )


def _limits() -> CodeLimits:
    values = {row.name: row.value for row in _rows("code_limits", LimitRow, "name")}
    wanted = {field.name for field in fields(CodeLimits)}
    if set(values) != wanted:
        differing = ", ".join(sorted(wanted ^ set(values)))
        raise LookupError(f"tables/code_limits.csv and CodeLimits differ in {differing}")
    return CodeLimits(**values)


def _ampacity() -> Mapping[tuple[Material, int], Mapping[str, Decimal]]:
    rows = _rows("ampacity", AmpacityRow, "size", "material", "insulation_temp_c")
    columns: dict[tuple[Material, int], dict[str, Decimal]] = {}
    for row in sorted(rows, key=lambda row: wire_rank(row.size)):
        columns.setdefault((row.material, row.insulation_temp_c), {})[row.size] = row.ampacity_a
    return MappingProxyType(columns)


def _cables() -> Mapping[tuple[str, Material], Mapping[str, str]]:
    made: dict[tuple[str, Material], dict[str, str]] = {}
    rows = _rows("cables", CableRow, "cable", "material", "size")
    for row in sorted(rows, key=lambda row: wire_rank(row.size)):
        made.setdefault((row.cable, row.material), {})[row.size] = row.ground_size
    return made


def _ambient() -> Mapping[int, tuple[tuple[int, Decimal | None], ...]]:
    rows = sorted(_rows("ambient", AmbientRow, "high_c"), key=lambda row: row.high_c)
    return {
        60: tuple((row.high_c, row.factor_60c) for row in rows),
        75: tuple((row.high_c, row.factor_75c) for row in rows),
        90: tuple((row.high_c, row.factor_90c) for row in rows),
    }


def _dimensions(
    rows: tuple[ConductorRow, ...],
) -> Mapping[str, Mapping[str, ConductorRow]]:
    nested: dict[str, dict[str, ConductorRow]] = {}
    for row in sorted(rows, key=lambda row: wire_rank(row.size)):
        nested.setdefault(row.insulation, {})[row.size] = row
    return nested


def _ohm_per_kft(
    dc: tuple[DcResistanceRow, ...], ac: tuple[AcImpedanceRow, ...], limits: CodeLimits
) -> Mapping[tuple[Material, Conduit], Mapping[str, Decimal]]:
    # Table 9 has two digits and falls below Table 8 for small sizes, where Table 8 gives the
    # larger and therefore safer drop.
    impedance = {
        (row.size, row.material, row.conduit): effective_ohm_per_kft(row, limits.power_factor)
        for row in ac
    }
    stranded = sorted(
        (row for row in dc if row.stranding == "stranded"), key=lambda row: wire_rank(row.size)
    )
    return {
        (material, conduit): {
            row.size: (row.cu_ohm_per_kft if material == "cu" else row.al_ohm_per_kft)
            if row.circular_mils <= limits.table_8_up_to_cmil
            else impedance[row.size, material, conduit]
            for row in stranded
        }
        for material in MATERIALS
        for conduit in CONDUITS
    }
