"""Load on each leg against what the supply may carry on one."""

from estimator.documents.pictures.bars import Bar, draw_bars
from estimator.documents.records import FullEstimate
from estimator.sizing.feed import describe_feed
from estimator.sizing.tables import load_sizing_tables
from estimator.units import plain


def leg_load_picture(estimate: FullEstimate) -> str:
    """SVG of the running watts on each leg, with the limit where it is known."""
    study = estimate.design.load_study
    limit = describe_feed(estimate.job, load_sizing_tables()).leg_limit_w
    bars = [
        Bar(
            label=f"Leg {leg}",
            value=load.running_w,
            figures=f"{load.running_w:,.0f} W, {plain(load.amps)} A"
            + (", over the limit" if limit is not None and load.running_w > limit else ""),
            over=limit is not None and load.running_w > limit,
        )
        for leg, load in study.legs
    ]
    return draw_bars(
        "Load on each leg",
        "running watts of circuits, as assigned",
        bars,
        limit=limit,
        limit_words="" if limit is None else f"limit {limit:,.0f} W",
        note=f"All loads together: {study.running_w:,.0f} W running, "
        f"{study.starting_peak_w:,.0f} W at the worst start.",
    )
