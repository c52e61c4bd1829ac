"""How long the supply lasts when only the loads down to a priority are kept."""

from estimator.documents.pictures.bars import Bar, draw_bars
from estimator.documents.records import FullEstimate


def run_time_picture(estimate: FullEstimate) -> str:
    """SVG of the hours on one charge, a bar for each set of priorities that is kept."""
    tiers = estimate.design.load_study.runtime_h
    bars = [
        Bar(
            label="priority 1 only" if tier.priority == 1 else f"priorities 1 to {tier.priority}",
            value=tier.hours,
            figures=f"{tier.hours:,.1f} h at {tier.average_w:,.0f} W on average"
            if tier.hours is not None
            else f"not known, {tier.average_w:,.0f} W on average",
        )
        for tier in tiers
    ]
    supply = estimate.job.supply
    energy = "The usable energy of the supply is not stated."
    if supply.usable_kwh is not None:
        energy = (
            f"From {supply.usable_kwh.normalize():f} kWh usable, with losses and idle draw, "
            "each load by its hours in a day."
        )
    return draw_bars("Run time on one charge", "hours", bars, note=energy)
