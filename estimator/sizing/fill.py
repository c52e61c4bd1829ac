"""How full a raceway may be, and how full it is."""

from collections.abc import Sequence
from decimal import ROUND_FLOOR, Decimal

from estimator.sizing.table_rows import ConductorRow
from estimator.sizing.tables import SizingTables
from estimator.units import circle_area_in2

HUNDRED = Decimal(100)
# Conductors by their row in the table, and how many there are of each; no row stands twice.
Bundle = Sequence[tuple[ConductorRow, int]]


def fill_limit_percent(count: int, nipple: bool, tables: SizingTables) -> Decimal:
    """Share of a raceway's inside area that this many conductors may take [%].

    count: all conductors, equipment grounds included, at least 1.
    """
    if nipple:
        return tables.limits.nipple_fill_percent
    for row in tables.fill:
        if row.conductors_high is None or count <= row.conductors_high:
            return row.percent
    raise LookupError(f"the fill table has no row for {count} conductors")


def fill_percent(bundle: Bundle, inside_diameter_in: Decimal) -> Decimal:
    """Share of the inside area that conductors take [%].

    Areas are pi/4 x diameter squared on both sides, so that pi/4 cancels.
    """
    squares = sum((row.diameter_in * row.diameter_in * count for row, count in bundle), Decimal(0))
    return squares / (inside_diameter_in * inside_diameter_in) * HUNDRED


def max_same_size_count(
    inside_diameter_in: Decimal,
    conductor_area_in2: Decimal,
    tables: SizingTables,
    *,
    nipple: bool = False,
) -> int:
    """Most conductors of one size that a raceway may hold, as Annex C counts them.

    The count at the limit for three and more, rounded up from 0.8; below three the limits for
    two and for one decide. Annex C follows from the inside diameter of the raceway and the
    printed area of the conductor. 1/2 EMT holds nine 12 AWG THHN.
    """
    ratio = circle_area_in2(inside_diameter_in) / conductor_area_in2
    if nipple:
        return _rounded_count(ratio, tables.limits.nipple_fill_percent, tables)
    for least in (3, 2, 1):
        count = _rounded_count(ratio, fill_limit_percent(least, False, tables), tables)
        if count >= least:
            return count if least == 3 else least
    return 0


def _rounded_count(ratio: Decimal, percent: Decimal, tables: SizingTables) -> int:
    exact = ratio * percent / HUNDRED
    whole = exact.to_integral_value(ROUND_FLOOR)
    return int(whole) + (exact - whole >= tables.limits.round_up_count_at)


def holds(bundle: Bundle, inside_diameter_in: Decimal, nipple: bool, tables: SizingTables) -> bool:
    """Whether the conductors may be in a raceway of this inside diameter [in].

    Conductors of one size by their count, mixed ones by their share of the area.
    """
    count = sum(number for _, number in bundle)
    if len(bundle) == 1:
        area = bundle[0][0].area_in2
        return count <= max_same_size_count(inside_diameter_in, area, tables, nipple=nipple)
    limit = fill_limit_percent(count, nipple, tables)
    return fill_percent(bundle, inside_diameter_in) <= limit
