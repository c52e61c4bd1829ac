"""The cord from the supply's outlet to the inlet."""

from decimal import Decimal

from estimator.basis import because
from estimator.job.records import Job
from estimator.sizing.feed import Feed
from estimator.sizing.records import CordDesign
from estimator.sizing.tables import SizingTables
from estimator.sizing.voltage_drop import drop_percent
from estimator.units import rounded


def design_cord(job: Job, feed: Feed, tables: SizingTables) -> CordDesign:
    """The supply cord: ends, conductors and voltage drop, which is not part of the runs'.

    Its neutral carries only the unbalance, or it has two wires: two current-carrying.
    """
    size, ampacity = next(
        (row for row in tables.cords if row[1] >= feed.outlet.amps), tables.cords[-1]
    )
    current = min(feed.current_a, Decimal(feed.outlet.amps))
    ohms = tables.ohm_per_kft["cu", "nonmetallic"][size]
    return CordDesign(
        plug=feed.outlet.plug,
        connector=feed.inlet.connector,
        length_ft=job.cord_length_ft,
        conductor_size=size,
        conductors=feed.outlet.wires,
        ampacity_a=ampacity,
        voltage_drop_percent=rounded(
            drop_percent(ohms, job.cord_length_ft, current, feed.volts), 2
        ),
        because=(
            because(
                "Cord with two current-carrying conductors, not below the outlet that protects it",
                "nec_400_5",
                outlet_a=feed.outlet.amps,
                ampacity_a=ampacity,
            ),
            because(
                "Plug for the supply's outlet, connector for the inlet",
                "nema_wd6",
                outlet=feed.outlet.configuration,
                inlet=feed.inlet.configuration,
            ),
            because(
                "Voltage drop of the stranded copper cord there and back",
                "nec_ch9_t8",
                ohm_per_kft=ohms,
                current_a=rounded(current, 2),
                volts=feed.volts,
            ),
        ),
    )
