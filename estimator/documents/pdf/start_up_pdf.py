"""The start-up sheet: each circuit tried on the supply, with what was expected and measured."""

from estimator.documents.paper_words import start_up_steps
from estimator.documents.pdf.common import cautions
from estimator.documents.pdf.records import Sheet
from estimator.documents.pdf.typeset import typeset
from estimator.documents.pdf.words import day, number
from estimator.documents.pictures.one_line_words import by_position
from estimator.documents.records import FullEstimate


def start_up_pdf(estimate: FullEstimate, sheet: Sheet) -> bytes:
    """PDF with the order of starting up, a row for each circuit, and lines to sign."""
    told = {circuit.name: circuit for circuit in estimate.job.circuits}
    study = estimate.design.load_study
    data = {
        "title": f"Start-up sheet: {estimate.job.name}",
        "name": estimate.job.name,
        "computed_on": day(estimate.computed_on, sheet),
        "steps": list(start_up_steps(estimate)),
        "circuits": [
            {
                "position": "" if one.position == "as wired" else one.position,
                "name": one.name,
                "leg": one.leg,
                "running": number(told[one.name].running_w, sheet),
                "starting": number(told[one.name].starting_w, sheet),
            }
            for one in by_position(estimate)
        ],
        "running": number(study.running_w, sheet),
        "peak": number(study.starting_peak_w, sheet),
        "cautions": cautions(estimate),
    }
    return typeset("start_up.typ", sheet, data)
