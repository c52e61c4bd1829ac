"""How much of a box its contents take, and the smallest standard box that holds them."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.sizing.code_editions import EditionRules
from estimator.sizing.table_rows import BoxForm, BoxRow
from estimator.sizing.tables import SizingTables
from estimator.units import wire_rank

JUNCTION_BOXES: tuple[BoxForm, ...] = ("octagon", "square")


@dataclass(frozen=True, slots=True)
class BoxContents:
    """What a box holds, wires of 6 AWG and smaller only.

    conductors: (size, count) of those that come from outside; one that passes through unbroken
    counts once. clamps: whether any cable clamp is inside the box. devices: (largest wire on
    it, gangs of width) a yoke. grounds: (size, count). terminal_blocks: largest wire on each.
    """

    conductors: Sequence[tuple[str, int]] = ()
    clamps: bool = False
    devices: Sequence[tuple[str, int]] = ()
    grounds: Sequence[tuple[str, int]] = ()
    terminal_blocks: Sequence[str] = ()


def box_fill_in3(contents: BoxContents, rules: EditionRules, tables: SizingTables) -> Decimal:
    """Volume that the contents take [in3].

    Each conductor one allowance; all clamps one of the largest conductor; a yoke two, a gang,
    of the largest wire on it; up to four grounds one of the largest, each further a quarter;
    a terminal block one where the edition counts it. Raises KeyError for a wire above 6 AWG.
    Seven 12 AWG, three grounds of 12 AWG, clamps and one switch take 24.75 in3.
    Source: 314.16(B) with its table.
    """
    allowance, limits = tables.box_allowances, tables.limits
    volume = sum((allowance[size] * count for size, count in contents.conductors), Decimal(0))
    if contents.clamps:
        volume += allowance[_largest([size for size, _ in contents.conductors])]
    for size, gangs in contents.devices:
        volume += allowance[size] * limits.device_allowances * gangs
    volume += _ground_allowances(contents, tables)
    if rules.terminal_blocks_counted:
        volume += sum((allowance[size] for size in contents.terminal_blocks), Decimal(0))
    return volume


def _ground_allowances(contents: BoxContents, tables: SizingTables) -> Decimal:
    count = sum(number for _, number in contents.grounds)
    if count == 0:
        return Decimal(0)
    limits = tables.limits
    further = max(Decimal(0), count - limits.grounds_counted_once)
    largest = _largest([size for size, number in contents.grounds if number])
    return tables.box_allowances[largest] * (1 + further * limits.further_ground_share)


def _largest(sizes: Collection[str]) -> str:
    return max(sizes, key=wire_rank)


def fits_box_fill(sizes: Collection[str], tables: SizingTables) -> bool:
    """Whether box fill is counted by volume: no wire is larger than the table's last."""
    return all(size in tables.box_allowances for size in sizes)


def max_box_count(volume_in3: Decimal, size: str, tables: SizingTables) -> int:
    """Most conductors of one size in a box of this volume [in3] that holds nothing else."""
    return int(volume_in3 // tables.box_allowances[size])


def smallest_box(
    volume_in3: Decimal, tables: SizingTables, forms: Collection[BoxForm] = JUNCTION_BOXES
) -> BoxRow | None:
    """Smallest standard box of some forms that has the volume [in3]; None when none has."""
    for row in tables.boxes:
        if row.form in forms and row.volume_in3 >= volume_in3:
            return row
    return None
