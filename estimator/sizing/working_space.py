"""Space that has to stay free about the load centre and the transfer equipment."""

from decimal import Decimal

from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.tables import SizingTables
from estimator.units import plain

DEPTHS = ("depth_condition_1", "depth_condition_2", "depth_condition_3")


def working_measure(item: str, volts_to_ground: Decimal, tables: SizingTables) -> Decimal:
    """One measure of the space for a voltage to ground [unit as in the table].

    Raises LookupError when the table has no row for the item or ends below the voltage.
    """
    bands = [
        (highest, value)
        for (name, highest), value in tables.working_space.items()
        if name == item and volts_to_ground <= highest
    ]
    if not bands:
        raise LookupError(f"the working space table has no {item} at {volts_to_ground} V")
    return min(bands)[1]


def check_working_space(job: Job, tables: SizingTables) -> tuple[Finding, ...]:
    """Notes on the space before the equipment and on where it may not be at all."""
    volts = tables.limits.leg_volts
    # What stands opposite is not told, so the deepest of the three conditions counts.
    depth = max(working_measure(item, volts, tables) for item in DEPTHS)
    width = working_measure("width", volts, tables)
    height = working_measure("height", volts, tables)
    above = working_measure("dedicated_space_above", volts, tables)
    return (
        Finding(
            "note",
            "WORKING_SPACE",
            "The space before the load centre and the transfer equipment has to stay free, and "
            f"indoors the space {plain(above)} in above them is for electrical equipment only."
            + _low_headroom(job, tables),
            "",
            "nec_working_space",
            f"Keep {plain(depth)} in deep, {plain(width)} in wide and {plain(height)} in high "
            "clear before both, with their doors open to 90 degrees.",
        ),
        Finding(
            "note",
            "EQUIPMENT_PLACE",
            "Breakers and switches may not be in a bathroom, in a clothes closet or over the steps "
            "of a stairway, and their handles have to be in reach.",
            "/transfer",
            "nec_breaker_place",
            "Choose another wall if the transfer equipment would be there, and keep its highest "
            f"handle within {plain(working_measure('breaker_handle_height', volts, tables))} in of "
            "the floor.",
        ),
    )


def _low_headroom(job: Job, tables: SizingTables) -> str:
    limit = working_measure("low_headroom_panel", tables.limits.leg_volts, tables)
    if job.load_centre.main_a > limit:
        return ""
    return f" An existing load centre of a dwelling of up to {plain(limit)} A may have less height."
