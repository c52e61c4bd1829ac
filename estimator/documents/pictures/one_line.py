"""The one-line diagram: from the supply and from the utility to the circuits."""

from estimator.documents.pictures.one_line_layout import lay_out
from estimator.documents.pictures.one_line_words import (
    circuit_rows,
    supply_side,
    transfer_station,
    utility_side,
)
from estimator.documents.pictures.svg import draw
from estimator.documents.records import FullEstimate


def one_line_picture(estimate: FullEstimate) -> str:
    """SVG of the one-line diagram, with conductor and raceway beside each run.

    Symbols after IEC 60617 (cell, machine, plug and socket, change-over contact, circuit
    breaker) as we know them from practice.
    """
    plan = lay_out(
        supply_side(estimate),
        utility_side(estimate),
        transfer_station(estimate),
        circuit_rows(estimate),
    )
    return draw("one_line.svg.jinja", plan=plan, name=estimate.job.name)
