"""Voltage lost along a run, and the conductor that keeps it within a target."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.sizing.table_rows import AcImpedanceRow

THOUSAND = Decimal(1000)
HUNDRED = Decimal(100)


# The power factor of the impedance table's last column.
PRINTED_POWER_FACTOR = Decimal("0.85")


@dataclass(frozen=True, slots=True)
class DropLimit:
    """What a conductor's drop is measured by.

    length_ft: one way. volts: base of the percentage. percent: target.
    """

    length_ft: Decimal
    current_a: Decimal
    volts: Decimal
    percent: Decimal


def effective_ohm_per_kft(row: AcImpedanceRow, power_factor: Decimal) -> Decimal:
    """Impedance that a load of this lagging power factor meets [ohm per 1000 ft].

    R x pf + X x sin(arccos pf); at 0.85, for which the table has a column, that column.
    power_factor: above 0, at most 1 [1]. Source: Chapter 9, Table 9 and its note 2.
    250 kcmil copper in steel at 0.9: 0.054 x 0.9 + 0.052 x 0.436 = 0.0713.
    """
    if power_factor == PRINTED_POWER_FACTOR:
        return row.z_ohm_per_kft
    reactive = (1 - power_factor * power_factor).sqrt()
    return row.r_ohm_per_kft * power_factor + row.x_ohm_per_kft * reactive


def drop_percent(
    ohm_per_kft: Decimal, length_ft: Decimal, current_a: Decimal, volts: Decimal
) -> Decimal:
    """Drop of a single-phase run there and back [% of volts].

    100 ft of 10 AWG copper (1.24 ohm per 1000 ft) at 30 A on 240 V loses 7.44 V or 3.1 %.
    """
    return 2 * length_ft * ohm_per_kft * current_a / THOUSAND / volts * HUNDRED


def size_within_drop(
    enough: str, limit: DropLimit, ohm_per_kft: Mapping[str, Decimal]
) -> tuple[str, bool]:
    """Smallest size from ``enough`` up that holds the target, and whether any does.

    ohm_per_kft: by size, small to large. When none does, ``enough`` comes back.
    """
    reached = False
    for size, ohms in ohm_per_kft.items():
        reached = reached or size == enough
        if reached:
            drop = drop_percent(ohms, limit.length_ft, limit.current_a, limit.volts)
            if drop <= limit.percent:
                return size, True
    return enough, False
