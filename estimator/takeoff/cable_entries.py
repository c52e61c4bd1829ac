"""Where a cable enters an enclosure: its connector, and the insert of an armoured one."""

from estimator.basis import because
from estimator.sizing.records import RunDesign
from estimator.takeoff.entries import fit_knockout
from estimator.takeoff.old_work import clamped_ends
from estimator.takeoff.run_ends import ends_in_weather, run_ends
from estimator.takeoff.sleeves import Sleeve
from estimator.takeoff.table_rows import CableFittingRow, MethodRow
from estimator.takeoff.taking import Taking, run_pointer


def take_cable_entries(
    taking: Taking,
    run: RunDesign,
    method: MethodRow,
    fitting: CableFittingRow,
    sleeve: Sleeve | None,
) -> None:
    """One connector an end, weather-tight in the weather.

    None where it comes in by a sleeve or is held by the clamp of a box of its own.
    """
    pointer = run_pointer(run)
    entry = because("The cable is secured where it enters each enclosure.", "nec_312_5_c")
    by_sleeve = (False, False) if sleeve is None else (True, not sleeve.to_wall)
    connectors = 0
    for end, weather, sleeved, clamped in zip(
        run_ends(taking, run),
        ends_in_weather(taking, run),
        by_sleeve,
        clamped_ends(taking, run),
        strict=True,
    ):
        style = method.wet_connector if weather else method.dry_connector
        if sleeved or clamped or style is None:
            continue
        connectors += 1
        fit_knockout(taking, run, end, fitting.connector)
        values = {"trade_size": fitting.connector, "cable": run.wiring_method, "style": style}
        taking.parts.add("cable_connector", values, 1, pointer, entry)
    if method.end_insert == "anti-short":
        reason = because(
            "An insulating insert where the armour of each end is cut.",
            "nec_320_40",
            ends=connectors,
        )
        values = {"trade_size": fitting.connector}
        taking.parts.add("anti_short_bushing", values, connectors, pointer, reason)
