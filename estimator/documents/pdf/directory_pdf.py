"""Circuit directory and signs, at the size in which they are put up."""

from estimator.documents.paper_words import sign_texts
from estimator.documents.pdf.common import cautions, circuit_words
from estimator.documents.pdf.records import Sheet
from estimator.documents.pdf.typeset import typeset
from estimator.documents.pdf.words import day
from estimator.documents.records import FullEstimate


def directory_pdf(estimate: FullEstimate, sheet: Sheet) -> bytes:
    """PDF of the directory and of each sign that the parts list has."""
    data = {
        "title": f"Directory and signs: {estimate.job.name}",
        "name": estimate.job.name,
        "computed_on": day(estimate.computed_on, sheet),
        "circuits": circuit_words(estimate),
        "signs": [
            {"place": sign.place, "head": sign.head, "lines": list(sign.lines)}
            for sign in sign_texts(estimate)
        ],
        "cautions": cautions(estimate),
    }
    return typeset("directory.typ", sheet, data)
