"""Where an underground run comes up: how far it is protected, and in what."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.table_rows import MethodRow
from estimator.takeoff.taking import Taking, run_pointer
from estimator.units import INCHES_PER_FOOT


@dataclass(frozen=True, slots=True)
class Riser:
    """One of the two risers of an underground run.

    raceway: what it is of; None for flexible conduit, which has no rigid riser of its own.
    length_ft: from below grade to its upper end; above_ft: of it above grade.
    """

    raceway: str | None
    length_ft: Decimal
    above_ft: Decimal


def riser_of(taking: Taking, run: RunDesign, raceway: str | None) -> Riser | None:
    """The riser of an underground run; None for other runs.

    A run too short for two whole risers has two of half its first and last stretch.
    """
    if run.place != "underground":
        return None
    below = taking.allowance("riser_below") / INCHES_PER_FOOT
    whole = below + taking.allowance("riser_above")
    share = 2 if len(run.segments_ft) == 1 else 1
    length = min(whole, run.segments_ft[0] / share, run.segments_ft[-1] / share)
    return Riser(raceway, length, max(Decimal(0), length - below))


def take_riser_pieces(
    taking: Taking, run: RunDesign, method: MethodRow, pieces_ft: tuple[Decimal, ...]
) -> None:
    """Pieces of the stronger raceway that the two risers of a run are of.

    Their bore is smaller; the design chose a trade size that holds the wires in it too.
    """
    if not pieces_ft or method.riser is None or run.trade_size is None:
        return
    pointer = run_pointer(run)
    reason = because(
        f"Both risers are of {method.riser}, from 18 in below grade to 8 ft above it.",
        "nec_underground_protection",
        below_in=taking.allowance("riser_below"),
        above_ft=taking.allowance("riser_above"),
    )
    values = {"raceway": method.riser, "trade_size": run.trade_size}
    taking.parts.add_cuts("raceway", values, pieces_ft, pointer, reason)


def tell_flexible_riser(taking: Taking, run: RunDesign, riser: Riser | None) -> None:
    """A warning for flexible conduit, which comes out of the earth without a rigid riser."""
    if riser is None or riser.raceway is not None:
        return
    taking.find(
        "warning",
        "RISER_OF_FLEXIBLE_CONDUIT",
        f"Run {run.index + 1} comes out of the earth as {run.wiring_method}, which does not "
        "protect its wires from blows; no other riser is among the parts.",
        f"{run_pointer(run)}/wiring_method",
        "nec_underground_protection",
        "Give PVC-80 as wiring_method, or let it come up where nothing can strike it.",
    )
