"""Whether the supply cord is enough for its outlet and, where it lies, for the load."""

from decimal import Decimal

from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.cord import in_heat
from estimator.sizing.feed import Feed
from estimator.sizing.load_study import LegWatts
from estimator.sizing.records import CordDesign
from estimator.sizing.tables import SizingTables
from estimator.units import plain, rounded, wire_rank


def check_cord(
    job: Job, feed: Feed, cord: CordDesign, watts: LegWatts, tables: SizingTables
) -> tuple[Finding, ...]:
    """Findings on the cord's ampacity."""
    return (*_below_outlet(feed, cord), *_heat(job, feed, cord, watts, tables))


def _below_outlet(feed: Feed, cord: CordDesign) -> list[Finding]:
    if cord.ampacity_a >= feed.outlet.amps:
        return []
    return [
        Finding(
            "error",
            "CORD_BELOW_OUTLET",
            f"The largest cord carries {cord.ampacity_a} A, but the outlet that protects it is "
            f"rated {feed.outlet.amps} A.",
            "/supply/outlet",
            "nec_400_5",
            "Use an outlet of the supply with a lower rating.",
        )
    ]


def _heat(
    job: Job, feed: Feed, cord: CordDesign, watts: LegWatts, tables: SizingTables
) -> list[Finding]:
    pointer = f"/site/{job.inlet.place}_ambient_c"
    carries = rounded(cord.heat_ampacity_a, 1)
    if not carries:
        return [
            Finding(
                "error",
                "CORD_TOO_HOT",
                f"A cord rated {plain(tables.limits.cord_rated_c)} C may not be used at "
                f"{plain(cord.ambient_c)} C.",
                pointer,
                "nec_cord_ampacity",
                "Lay the cord where it is cooler, or correct the ambient of the site.",
            )
        ]
    most = min(feed.current_a, Decimal(feed.outlet.amps))
    if cord.heat_ampacity_a >= most:
        return []
    load = watts.heavier_of_circuits / tables.limits.leg_volts
    over = load > cord.heat_ampacity_a
    return [
        Finding(
            "warning" if over else "note",
            "CORD_IN_HEAT",
            f"At {plain(cord.ambient_c)} C the {cord.conductor_size} cord carries "
            f"{plain(carries)} A; the supply can put {plain(rounded(most, 1))} A through it"
            + (f" and all circuits at once ask {plain(rounded(load, 1))} A." if over else "."),
            pointer,
            "nec_cord_ampacity",
            f"Keep each leg within {plain(carries)} A while it is that hot"
            + _cool_enough(cord, most, tables)
            + ", or use a cord set listed for its full rating at that heat.",
        )
    ]


def _cool_enough(cord: CordDesign, most: Decimal, tables: SizingTables) -> str:
    for size, ampacity in tables.cords:
        larger = wire_rank(size) > wire_rank(cord.conductor_size)
        if larger and in_heat(ampacity, cord.ambient_c, tables) >= most:
            return f", take a cord of {size}"
    return ""
