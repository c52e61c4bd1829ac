"""The equipment grounding conductor of a run."""

from estimator.job.records import Material
from estimator.sizing.tables import SizingTables


def base_equipment_ground(overcurrent_a: int, material: Material, tables: SizingTables) -> str:
    """Smallest equipment ground for the overcurrent device ahead [A].

    Raises LookupError when the table ends below the rating.
    """
    for row in tables.equipment_grounds:
        if overcurrent_a <= row.overcurrent_a:
            return row.cu_size if material == "cu" else row.al_size
    raise LookupError(f"the equipment ground table has no row for {overcurrent_a} A")


def raised_equipment_ground(base: str, enough: str, used: str, tables: SizingTables) -> str:
    """Equipment ground raised as the ungrounded conductor was, from ``enough`` to ``used``.

    In proportion to circular mils, the ratio unrounded; never larger than ``used``, raised or
    not. Example: 10 AWG for 50 A, 8 AWG raised to 1 AWG: 10380 x 83690 / 16510 = 52617 cmil, so
    3 AWG.
    """
    mils = tables.circular_mils
    if mils[used] <= mils[enough]:
        return base if mils[base] <= mils[used] else used
    for size, area in mils.items():
        if area * mils[enough] >= mils[base] * mils[used]:
            return size if area <= mils[used] else used
    return used


def equipment_ground(
    overcurrent_a: int, material: Material, enough: str, used: str, tables: SizingTables
) -> str:
    """Equipment ground by the device ahead [A], raised with the ungrounded conductors."""
    base = base_equipment_ground(overcurrent_a, material, tables)
    return raised_equipment_ground(base, enough, used, tables)
