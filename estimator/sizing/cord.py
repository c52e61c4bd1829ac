"""The cord from the supply's outlet to the inlet."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.basis import Because, because
from estimator.job.records import Job
from estimator.sizing.ampacity import ambient_factor
from estimator.sizing.feed import Feed
from estimator.sizing.load_study import LegWatts
from estimator.sizing.records import CordDesign, RunDesign
from estimator.sizing.runs import feeder_drop_percent
from estimator.sizing.tables import SizingTables
from estimator.sizing.voltage_drop import DropLimit, drop_percent
from estimator.units import rounded, wire_rank


def design_cord(
    job: Job, feed: Feed, watts: LegWatts, runs: Sequence[RunDesign], tables: SizingTables
) -> CordDesign:
    """The supply cord: ends, conductors and voltage drop, which is not part of the runs'.

    Its neutral carries only the unbalance, or it has two wires: two current-carrying. A larger
    cord is taken when one is stocked that brings cord and feeder within the advised total.
    Heat does not enlarge a listed cord set, which its outlet protects as listed; it limits the
    load, which check_cord holds against it.
    """
    enough, enough_a = next(
        (row for row in tables.cords if row[1] >= feed.outlet.amps), tables.cords[-1]
    )
    feeder = feeder_drop_percent(runs)
    limit = DropLimit(
        job.cord_length_ft,
        min(feed.current_a, Decimal(feed.outlet.amps)),
        feed.volts,
        tables.limits.drop_total_percent - feeder,
    )
    size, ampacity = _within_total(enough, limit, feed.outlet.wires, tables) or (enough, enough_a)
    ohms = _ohms(size, tables)
    drop = _drop(size, limit, tables)
    ambient = cord_ambient_c(job)
    return CordDesign(
        plug=feed.outlet.plug,
        connector=feed.inlet.connector,
        length_ft=job.cord_length_ft,
        conductor_size=size,
        conductors=feed.outlet.wires,
        ampacity_a=ampacity,
        ambient_c=ambient,
        heat_ampacity_a=in_heat(ampacity, ambient, tables),
        enough_without_drop=enough,
        voltage_drop_percent=drop,
        voltage_drop_at_load_percent=rounded(
            drop_percent(
                ohms,
                job.cord_length_ft,
                watts.heavier_of_circuits / tables.limits.leg_volts,
                feed.volts,
            ),
            2,
        ),
        total_drop_percent=feeder + drop,
        because=(
            *_reasons(feed, limit, (enough, enough_a), size, ohms, feeder + drop, tables),
            _heat_reason(ampacity, ambient, tables),
        ),
    )


def cord_ambient_c(job: Job) -> Decimal:
    """Ambient of the cord [C]: that of the place of its inlet, of the site and no run's."""
    return job.site.outdoor_ambient_c if job.inlet.place == "outdoor" else job.site.indoor_ambient_c


def in_heat(ampacity_a: Decimal, ambient_c: Decimal, tables: SizingTables) -> Decimal:
    """Ampacity of a cord [A] at an ambient [C]; 0 where its insulation may not be.

    At 40 C a cord of 30 A carries 30 x 0.82 = 24.6 A. Source: 400.5(A), by the column of 60 C.
    """
    return ampacity_a * (ambient_factor(_rated_c(tables), ambient_c, tables) or Decimal(0))


def _rated_c(tables: SizingTables) -> int:
    return int(tables.limits.cord_rated_c)


def _heat_reason(ampacity_a: Decimal, ambient_c: Decimal, tables: SizingTables) -> Because:
    return because(
        "A listed cord set is taken as listed; in its ambient it carries what the factor of the "
        "column that it is rated for leaves",
        "nec_cord_ampacity",
        ambient_c=ambient_c,
        column_c=_rated_c(tables),
        ampacity_a=ampacity_a,
        heat_ampacity_a=in_heat(ampacity_a, ambient_c, tables),
    )


def _within_total(
    enough: str, limit: DropLimit, wires: int, tables: SizingTables
) -> tuple[str, Decimal] | None:
    """The smallest cord from ``enough`` up that holds the total; larger ones must be stocked."""
    stocked = {
        row.conductor_size
        for row in tables.cord_sets
        if row.conductors == wires and row.length_ft >= limit.length_ft
    }
    for size, ampacity in tables.cords:
        larger = wire_rank(size) > wire_rank(enough)
        offered = size == enough or (larger and size in stocked)
        if offered and _drop(size, limit, tables) <= limit.percent:
            return size, ampacity
    return None


def _ohms(size: str, tables: SizingTables) -> Decimal:
    return tables.ohm_per_kft["cu", "nonmetallic"][size]


def _drop(size: str, limit: DropLimit, tables: SizingTables) -> Decimal:
    """Drop of the cord as shown, so that the shown figures decide [%]."""
    ohms = _ohms(size, tables)
    return rounded(drop_percent(ohms, limit.length_ft, limit.current_a, limit.volts), 2)


def _reasons(
    feed: Feed,
    limit: DropLimit,
    enough: tuple[str, Decimal],
    size: str,
    ohms: Decimal,
    total: Decimal,
    tables: SizingTables,
) -> tuple[Because, ...]:
    raised = size != enough[0]
    by_table_8 = tables.circular_mils[size] <= tables.limits.table_8_up_to_cmil
    return (
        because(
            "Cord with two current-carrying conductors, not below the outlet that protects it",
            "nec_400_5",
            outlet_a=feed.outlet.amps,
            size=enough[0],
            ampacity_a=enough[1],
        ),
        because(
            "Plug for the supply's outlet, connector for the inlet",
            "nema_wd6",
            outlet=feed.outlet.configuration,
            inlet=feed.inlet.configuration,
        ),
        because(
            "Voltage drop of the stranded copper cord there and back",
            "nec_ch9_t8" if by_table_8 else "nec_ch9_t9",
            ohm_per_kft=ohms,
            length_ft=limit.length_ft,
            current_a=rounded(limit.current_a, 2),
            volts=limit.volts,
        ),
        because(
            f"Raised from {enough[0]} to {size}, a stocked cord, to hold the total"
            if raised
            else "Cord and feeder together against the advised total",
            "nec_voltage_drop_note",
            total_percent=total,
            limit_percent=tables.limits.drop_total_percent,
        ),
    )
