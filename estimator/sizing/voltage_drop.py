"""Voltage lost along a run, and the conductor that keeps it within a target."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

THOUSAND = Decimal(1000)
HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class DropLimit:
    """What a conductor's drop is measured by.

    length_ft: one way. volts: base of the percentage. percent: target.
    """

    length_ft: Decimal
    current_a: Decimal
    volts: Decimal
    percent: Decimal


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
