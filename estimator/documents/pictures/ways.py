"""What each way to get the job done costs, with its range."""

from estimator.documents.pictures.bars import Bar, draw_bars
from estimator.documents.records import FullEstimate

_WAY = {"own": "do it oneself", "hire": "hire", "cords_only": "only cords"}


def ways_picture(estimate: FullEstimate) -> str:
    """SVG of the cost of each way after the sure credit, with low and high."""
    bars = [
        Bar(
            label=_WAY[way.way],
            value=way.likely,
            figures=f"{way.likely:,.0f} ({way.low:,.0f} to {way.high:,.0f})"
            + ("" if way.complete else "; incomplete"),
            low=way.low,
            high=way.high,
        )
        for way in estimate.ways
    ]
    return draw_bars(
        "Cost of each way",
        f"{estimate.job.terms.currency}, after the sure credit",
        bars,
        note="Bar: the likely cost; line below it: from 10 to 90 of a hundred.",
    )
