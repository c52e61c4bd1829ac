"""Sleeves of a direct-buried cable: the conduit in which it comes out of the earth."""

from dataclasses import dataclass

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.consumables import use_up
from estimator.takeoff.entries import fit_knockout
from estimator.takeoff.risers import Riser, riser_of
from estimator.takeoff.run_ends import run_ends
from estimator.takeoff.seals import seal_buried_ends
from estimator.takeoff.supports import put_up_straps, supports_wanted
from estimator.takeoff.table_rows import CableFittingRow
from estimator.takeoff.taking import Taking, run_pointer

SLEEVE = "PVC-80"
_SLEEVES = 2


@dataclass(frozen=True, slots=True)
class Sleeve:
    """Both sleeves of a run. to_wall: the second turns into the wall and not into a box."""

    trade_size: str
    riser: Riser
    to_wall: bool


def sleeve_of(taking: Taking, run: RunDesign, fitting: CableFittingRow) -> Sleeve | None:
    """The sleeves of an underground cable; None for other runs and cables not for burial."""
    riser = riser_of(taking, run, SLEEVE)
    if riser is None or fitting.sleeve is None:
        return None
    return Sleeve(fitting.sleeve, riser, run.wall_penetrations > 0)


def take_sleeves(taking: Taking, run: RunDesign, sleeve: Sleeve | None) -> None:
    """Conduit, bushings, adapters, straps and cement of both sleeves."""
    if sleeve is None:
        return
    _take_conduit(taking, run, sleeve)
    _take_upper_ends(taking, run, sleeve)
    _take_bushings(taking, run, sleeve)
    _take_straps(taking, run, sleeve)
    seal_buried_ends(taking, run)


def _take_conduit(taking: Taking, run: RunDesign, sleeve: Sleeve) -> None:
    reason = because(
        "Cable that comes out of the earth is protected from 18 in below grade to 8 ft above it.",
        "nec_underground_protection",
        below_in=taking.allowance("riser_below"),
        above_ft=taking.allowance("riser_above"),
    )
    values = {"raceway": SLEEVE, "trade_size": sleeve.trade_size}
    pieces = [sleeve.riser.length_ft] * _SLEEVES
    if sleeve.to_wall:
        pieces.append(taking.allowance("wall_sleeve"))
    taking.parts.add_cuts("raceway", values, tuple(pieces), run_pointer(run), reason)
    row = taking.tables.run_labour[SLEEVE, sleeve.trade_size]
    work = because("The work of a sleeve goes with its length.", row.source, sleeves=_SLEEVES)
    taking.work.add(row.task, sum(pieces) / row.step_ft, work)


def _take_upper_ends(taking: Taking, run: RunDesign, sleeve: Sleeve) -> None:
    pointer = run_pointer(run)
    method = taking.tables.methods[SLEEVE]
    boxed = 1 if sleeve.to_wall else _SLEEVES
    style = method.wet_connector
    assert style is not None  # PVC is joined to a box by an adapter everywhere
    reason = because("The sleeve ends in the enclosure above it.", method.source, sleeves=boxed)
    values = {"raceway": method.fittings, "trade_size": sleeve.trade_size, "style": style}
    taking.parts.add("raceway_connector", values, boxed, pointer, reason)
    sealed = because(
        "A sleeve enters an enclosure in the weather with a sealing locknut.", "nec_312_2"
    )
    values = {"trade_size": sleeve.trade_size, "style": "sealing"}
    taking.parts.add("locknut", values, boxed, pointer, sealed)
    for end in run_ends(taking, run)[:boxed]:
        fit_knockout(taking, run, end, sleeve.trade_size)
    if sleeve.to_wall:
        turn = because("One conduit body where the sleeve turns into the wall.", "common_practice")
        values = {"raceway": method.fittings, "trade_size": sleeve.trade_size, "shape": "LB"}
        taking.parts.add("conduit_body", values, 1, pointer, turn)
        taking.work.add("conduit_body", 1, turn)
    faces = boxed + (2 if sleeve.to_wall else 0)
    glued = because(
        "The sleeves are cemented to their adapters and body.",
        taking.tables.consumables["cement"].source,
        glued_joints=faces,
    )
    use_up(taking, "cement", faces, pointer, glued)


def _take_bushings(taking: Taking, run: RunDesign, sleeve: Sleeve) -> None:
    pointer = run_pointer(run)
    values = {"trade_size": sleeve.trade_size}
    lower = because(
        "A bushing on the lower end of each sleeve, where the cable comes in from the earth.",
        "nec_underground_end",
    )
    taking.parts.add("insulating_bushing", values, _SLEEVES, pointer, lower)
    upper = because(
        "A bushing where the cable leaves the sleeve in an enclosure or inside the wall.",
        "nec_cable_in_raceway_end",
    )
    taking.parts.add("insulating_bushing", values, _SLEEVES, pointer, upper)


def _take_straps(taking: Taking, run: RunDesign, sleeve: Sleeve) -> None:
    rule = taking.tables.supports[SLEEVE, sleeve.trade_size]
    above = (sleeve.riser.above_ft,) * _SLEEVES
    count = supports_wanted(run, rule, above)
    reason = because(
        "The least number of straps on what stands above grade of each sleeve.",
        rule.source,
        above_ft=sleeve.riser.above_ft,
        from_end_in=rule.end_in,
        interval_ft=rule.interval_ft,
        straps=count,
    )
    method = taking.tables.methods[SLEEVE]
    put_up_straps(taking, run, method, sleeve.trade_size, count, reason)
