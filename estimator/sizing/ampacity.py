"""How much current a conductor may carry, and the smallest one that carries enough."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because, because
from estimator.job.records import CodeEdition, Material, TerminalTemperature
from estimator.record import quick
from estimator.sizing.table_rows import InsulationRow
from estimator.sizing.tables import SizingTables
from estimator.units import wire_rank

HUNDRED = Decimal(100)
ONE = Decimal(1)


@dataclass(frozen=True, slots=True)
class Conditions:
    """What a conductor meets along its way.

    counted: current-carrying conductors in the same raceway or cable. nipple: no adjustment
    for their number. terminal_c: marking of the weaker of its two terminations [C].
    """

    material: Material
    insulation: str
    ambient_c: Decimal
    counted: int
    nipple: bool
    terminal_c: TerminalTemperature
    code_edition: CodeEdition


@quick
@dataclass(frozen=True, slots=True)
class Ampacity:
    """Ampacity of one size under given conditions, step by step [A].

    corrected_a: from the insulation's own column after ambient and bundling. terminal_a: from
    the column that terminations and insulation allow. usable_a: the lower of the two.
    overcurrent_limit_a: most that 240.4(D) allows ahead of it, None for larger conductors.
    """

    size: str
    table_a: Decimal
    ambient_factor: Decimal
    bundling_factor: Decimal
    corrected_a: Decimal
    terminal_a: Decimal
    usable_a: Decimal
    overcurrent_limit_a: Decimal | None


@quick
@dataclass(frozen=True, slots=True)
class Demand:
    """What a conductor has to take.

    overcurrent_a: rating of the device ahead of it. design_load_a: load with continuous parts
    at 125 %, before correction. load_a: load as it is. single_load: next standard size up is
    allowed.
    """

    overcurrent_a: int
    design_load_a: Decimal = Decimal(0)
    load_a: Decimal = Decimal(0)
    single_load: bool = False


def ambient_factor(column_c: int, ambient_c: Decimal, tables: SizingTables) -> Decimal | None:
    """Factor for the band that contains the ambient [C], between bands the hotter one.

    None where the column [C] may not be used at that temperature.
    Source: named row by row in the table.
    """
    for hottest_c, factor in tables.ambient[column_c]:
        if ambient_c <= hottest_c:
            return factor
    return None


def bundling_factor(counted: int, tables: SizingTables) -> Decimal:
    """Share of the ampacity left when ``counted`` conductors carry current together."""
    for row in tables.bundling:
        if row.conductors_high is None or counted <= row.conductors_high:
            return row.percent / HUNDRED
    raise LookupError(f"the bundling table has no row for {counted} conductors")


def terminal_column(
    overcurrent_a: int, terminal_c: TerminalTemperature, tables: SizingTables
) -> int:
    """Column [C] that terminations allow for a circuit of this rating [A]."""
    for row in tables.terminals:
        if row.circuit_a_max is None or overcurrent_a <= row.circuit_a_max:
            return row.marked_75_c if terminal_c >= row.marked_75_c else row.unmarked_c
    raise LookupError(f"the terminal table has no row for {overcurrent_a} A")


def next_standard_rating(ampacity_a: Decimal, edition: CodeEdition, tables: SizingTables) -> int:
    """Smallest standard overcurrent rating [A] that is not below an ampacity [A]."""
    for rating in tables.overcurrent[edition]:
        if rating >= ampacity_a:
            return rating
    return tables.overcurrent[edition][-1]


@dataclass(frozen=True, slots=True)
class _Columns:
    """Factors and columns that hold for every size under the same conditions."""

    table: Mapping[str, Decimal]
    terminal: Mapping[str, Decimal]
    small: Mapping[str, Decimal]
    small_up_to: int
    ambient_factor: Decimal
    bundling_factor: Decimal

    def ampacity(self, size: str, limit_a: Decimal | None) -> Ampacity:
        corrected = self.table[size] * self.ambient_factor * self.bundling_factor
        column = self.small if wire_rank(size) <= self.small_up_to else self.terminal
        terminal = column[size]
        return Ampacity(
            size,
            self.table[size],
            self.ambient_factor,
            self.bundling_factor,
            corrected,
            terminal,
            min(corrected, terminal),
            limit_a,
        )


def _columns(overcurrent_a: int, conditions: Conditions, tables: SizingTables) -> _Columns | None:
    kind = tables.insulations[conditions.insulation]
    ambient = ambient_factor(kind.corrected_from_c, conditions.ambient_c, tables)
    if ambient is None:
        return None
    column = min(terminal_column(overcurrent_a, conditions.terminal_c, tables), kind.never_above_c)
    small = column
    if kind.small_never_above_c is not None:
        small = min(column, kind.small_never_above_c)
    return _Columns(
        tables.ampacity[conditions.material, kind.corrected_from_c],
        tables.ampacity[conditions.material, column],
        tables.ampacity[conditions.material, small],
        -1 if kind.small_up_to is None else wire_rank(kind.small_up_to),
        ambient,
        ONE if conditions.nipple else bundling_factor(conditions.counted, tables),
    )


def offered_sizes(conditions: Conditions, tables: SizingTables) -> tuple[str, ...]:
    """Sizes that can be bought, small to large: of a cable only those in which it is made.

    None is larger than 500 kcmil; conductors in parallel and feeder taps are not offered.
    """
    sizes = tables.ampacity[conditions.material, 60]
    made = tables.cables.get((conditions.insulation, conditions.material))
    return tuple(sizes) if made is None else tuple(size for size in sizes if size in made)


def ampacity_of(
    size: str, overcurrent_a: int, conditions: Conditions, tables: SizingTables
) -> Ampacity | None:
    """Ampacity of one size; None where the table has no such size or it is too hot for it."""
    columns = _columns(overcurrent_a, conditions, tables)
    if columns is None or size not in columns.table:
        return None
    return columns.ampacity(size, tables.small_conductors.get((size, conditions.material)))


class OfferedConductors:
    """Sizes that 240.4(D) lets one device protect, small to large, each worked out once."""

    def __init__(self, overcurrent_a: int, conditions: Conditions, tables: SizingTables) -> None:
        self._edition = conditions.code_edition
        self._tables = tables
        self._known: list[Ampacity] = []
        self._further = _offered(overcurrent_a, conditions, tables)

    def smallest(self, demand: Demand) -> Ampacity | None:
        """Smallest conductor that the device ahead of it protects; None when there is none.

        demand: of the device that these are offered for. Ampacity not below the device's rating,
        or for a single load its next standard size up to 800 A; the terminal column not below
        the design load.
        """
        for found in self._known:
            if _carries(found, demand, self._edition, self._tables):
                return found
        for found in self._further:
            self._known.append(found)
            if _carries(found, demand, self._edition, self._tables):
                return found
        return None


def _offered(
    overcurrent_a: int, conditions: Conditions, tables: SizingTables
) -> Iterator[Ampacity]:
    columns = _columns(overcurrent_a, conditions, tables)
    if columns is None:
        return
    for size in offered_sizes(conditions, tables):
        limit = tables.small_conductors.get((size, conditions.material))
        if limit is None or overcurrent_a <= limit:
            yield columns.ampacity(size, limit)


def smallest_conductor(
    demand: Demand, conditions: Conditions, tables: SizingTables
) -> Ampacity | None:
    """Smallest conductor that the device ahead of it protects; None when there is none."""
    return OfferedConductors(demand.overcurrent_a, conditions, tables).smallest(demand)


def _carries(found: Ampacity, demand: Demand, edition: CodeEdition, tables: SizingTables) -> bool:
    if found.terminal_a < demand.design_load_a or found.usable_a < demand.load_a:
        return False
    if found.usable_a >= demand.overcurrent_a:
        return True
    return (
        demand.single_load
        and demand.overcurrent_a <= tables.limits.next_size_up_max_a
        and next_standard_rating(found.usable_a, edition, tables) >= demand.overcurrent_a
    )


def ampacity_reasons(
    found: Ampacity, demand: Demand, conditions: Conditions, tables: SizingTables
) -> tuple[Because, ...]:
    """Why this size is enough, step by step."""
    kind = tables.insulations[conditions.insulation]
    reasons = [
        because(
            "Ampacity from the insulation's own column, corrected for ambient",
            "nec_310_15_b1",
            size=found.size,
            column_c=kind.corrected_from_c,
            table_a=found.table_a,
            ambient_c=conditions.ambient_c,
            ambient_factor=found.ambient_factor,
        )
    ]
    if conditions.nipple:
        reasons.append(
            because("No adjustment for bundling in a nipple of 24 in or less", "nec_nipple")
        )
    elif found.bundling_factor != ONE:
        reasons.append(
            because(
                "Adjusted for the number of current-carrying conductors",
                "nec_310_15_c1",
                current_carrying=conditions.counted,
                factor=found.bundling_factor,
                corrected_a=found.corrected_a,
            )
        )
    reasons.append(_column_reason(found, demand, conditions, kind, tables))
    if found.overcurrent_limit_a is not None:
        reasons.append(
            because(
                "Small conductor: largest overcurrent device that may protect it",
                "nec_240_4_d",
                limit_a=found.overcurrent_limit_a,
            )
        )
    below = found.usable_a < demand.overcurrent_a
    reasons.append(
        because(
            "Single load: the next standard size above the ampacity protects it"
            if below
            else "Ampacity is not below the overcurrent rating",
            "nec_ocpd_next_size" if below else "nec_240_4",
            ampacity_a=found.usable_a,
            overcurrent_a=demand.overcurrent_a,
        )
    )
    return tuple(reasons)


def _column_reason(
    found: Ampacity,
    demand: Demand,
    conditions: Conditions,
    kind: InsulationRow,
    tables: SizingTables,
) -> Because:
    terminals = terminal_column(demand.overcurrent_a, conditions.terminal_c, tables)
    own = kind.never_above_c
    if kind.small_up_to is not None and wire_rank(found.size) <= wire_rank(kind.small_up_to):
        own = min(own, kind.small_never_above_c or own)
    if own <= terminals:
        return because(
            f"Never above the column of {kind.insulation} itself",
            kind.source,
            column_c=own,
            column_a=found.terminal_a,
        )
    return because(
        "Never above the column of the weaker termination",
        "nec_110_14_c",
        terminal_c=conditions.terminal_c,
        column_c=terminals,
        column_a=found.terminal_a,
    )
