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
from estimator.sizing.table_rows import (
    AcImpedanceRow,
    AmbientRow,
    AmpacityRow,
    BundlingRow,
    ColourRow,
    ConductorRow,
    Conduit,
    CordRow,
    DcResistanceRow,
    EquipmentGroundRow,
    FillRow,
    InsulationRow,
    LimitRow,
    OvercurrentRow,
    RacewayRow,
    SmallConductorRow,
    SwitchRow,
    TerminalRow,
    WiringMethodRow,
)
from estimator.units import wire_rank

Row = TypeVar("Row")
EDITIONS: tuple[CodeEdition, ...] = ("2020", "2023")
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
    continuous_percent: Decimal
    next_size_up_max_a: Decimal
    round_up_count_at: Decimal
    jam_ratio_low: Decimal
    jam_ratio_high: Decimal
    drop_total_percent: Decimal
    table_8_up_to_cmil: Decimal
    pvc_expansion_in_per_in_f: Decimal
    expansion_fitting_from_in: Decimal
    sun_adder_f: Decimal
    expansion_travel_in: Decimal
    tight_fill_share: Decimal
    inlet_outdoors_max_w: Decimal
    afci_extension_max_ft: Decimal
    panel_fill_percent: Decimal
    working_depth_in: Decimal
    working_width_in: Decimal
    working_height_in: Decimal


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
    conductors [A]), small to large. colours: (run, use) to colour.
    raceway_rows, dc, ac: the rows as printed.
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
    terminals: tuple[TerminalRow, ...]
    switches: tuple[SwitchRow, ...]
    insulations: Mapping[str, InsulationRow]
    wiring_methods: Mapping[str, WiringMethodRow]
    colours: Mapping[tuple[str, str], str]
    limits: CodeLimits
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
    return SizingTables(
        ampacity=_ampacity(),
        ambient=_ambient(),
        bundling=_rows("bundling", BundlingRow, "conductors_low"),
        small_conductors={(row.size, row.material): row.max_overcurrent_a for row in small},
        overcurrent={
            edition: tuple(sorted(row.rating_a for row in ratings if row.edition_from <= edition))
            for edition in EDITIONS
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
        ohm_per_kft=_ohm_per_kft(dc, ac, limits.table_8_up_to_cmil),
        cords=tuple(
            (row.size, row.two_conductors_a)
            for row in sorted(cords, key=lambda row: wire_rank(row.size))
        ),
        terminals=_rows("terminal_columns", TerminalRow, "circuit_a_max"),
        switches=tuple(
            sorted(
                _rows("switches", SwitchRow, "positions", "rating_a"),
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
        colours={(row.run, row.use): row.colour for row in colours},
        limits=limits,
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
    dc: tuple[DcResistanceRow, ...], ac: tuple[AcImpedanceRow, ...], table_8_up_to: Decimal
) -> Mapping[tuple[Material, Conduit], Mapping[str, Decimal]]:
    # Table 9 has two digits and falls below Table 8 for small sizes, where Table 8 gives the
    # larger and therefore safer drop.
    impedance = {(row.size, row.material, row.conduit): row.z_ohm_per_kft for row in ac}
    stranded = sorted(
        (row for row in dc if row.stranding == "stranded"), key=lambda row: wire_rank(row.size)
    )
    return {
        (material, conduit): {
            row.size: (row.cu_ohm_per_kft if material == "cu" else row.al_ohm_per_kft)
            if row.circular_mils <= table_8_up_to
            else impedance[row.size, material, conduit]
            for row in stranded
        }
        for material in MATERIALS
        for conduit in CONDUITS
    }
