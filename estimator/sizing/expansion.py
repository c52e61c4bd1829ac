"""How much a PVC run changes its length, and the fittings that take it up."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from estimator.basis import Because, because
from estimator.job.records import Run
from estimator.sizing.tables import SizingTables
from estimator.units import INCHES_PER_FOOT, plain, rounded

PVC = ("PVC-40", "PVC-80")
FAHRENHEIT_PER_CELSIUS = Decimal("1.8")


@dataclass(frozen=True, slots=True)
class Expansion:
    """Change of length [in] and expansion fittings."""

    change_in: Decimal
    fittings: int
    because: Because


def length_change_in(
    length_ft: Decimal, temperature_change_f: Decimal, tables: SizingTables
) -> Decimal:
    """Change of length of PVC conduit [in]: 15 ft over 40 F change by 0.243 in."""
    coefficient = tables.limits.pvc_expansion_in_per_in_f
    return coefficient * length_ft * INCHES_PER_FOOT * temperature_change_f


def pvc_expansion(run: Run, tables: SizingTables) -> Expansion | None:
    """Expansion of a run above ground; None for other wiring methods.

    A run in the sun gets the sun's rise on top of the change in air temperature. The whole
    length counts as one straight run, since where the bends stand is not known.
    """
    if run.wiring_method not in PVC or run.place == "underground":
        return None
    limits = tables.limits
    span_f = run.temperature_change_c * FAHRENHEIT_PER_CELSIUS
    if run.sun_exposed:
        span_f += limits.sun_adder_f
    change = length_change_in(run.length_ft, span_f, tables)
    fittings = 0
    if change >= limits.expansion_fitting_from_in:
        fittings = int((change / limits.expansion_travel_in).to_integral_value(ROUND_CEILING))
    sun = f", {plain(limits.sun_adder_f)} F of it for the sun (from memory)"
    return Expansion(
        change,
        fittings,
        because(
            f"Change of length{sun if run.sun_exposed else ''}; expansion fittings from "
            f"{plain(limits.expansion_fitting_from_in)} in on",
            "nec_352_44",
            length_ft=run.length_ft,
            temperature_change_f=span_f,
            change_in=rounded(change, 3),
            travel_in=limits.expansion_travel_in,
            fittings=fittings,
        ),
    )
