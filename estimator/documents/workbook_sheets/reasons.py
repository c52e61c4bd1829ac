"""The sheet of reasons: why each value of the estimate is what it is."""

from collections.abc import Iterator

from estimator.basis import Because
from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.published.sources import load_sources

TITLE = "Reasons"
WIDTHS = (44, 66, 40, 46)
HEADS = ("Value", "Why", "Source", "Figures used")


def write_reasons(page: Page, estimate: FullEstimate) -> None:
    """Fill the sheet with every reason, in the order of the estimate."""
    edition = estimate.job.site.code_edition
    page.heading("Reasons", "Sheet title")
    page.paragraph("Each computed value with the rule behind it, its source and its figures.")
    head_row = page.head(HEADS)
    for subject, reason in reasons_of(estimate):
        figures = "; ".join(f"{name.replace('_', ' ')} = {value}" for name, value in reason.figures)
        page.text(1, subject)
        page.text(2, reason.text)
        page.text(3, load_sources()[reason.source].cite(edition))
        page.text(4, figures, "Code")
        page.row += 1
    page.finish(head_row=head_row)


def reasons_of(estimate: FullEstimate) -> Iterator[tuple[str, Because]]:
    """Every reason of the estimate with the value that it explains."""
    for subject, reasons in _reasoned(estimate):
        for reason in reasons:
            yield subject, reason


def _reasoned(estimate: FullEstimate) -> Iterator[tuple[str, tuple[Because, ...]]]:
    design = estimate.design
    yield "Load study", design.load_study.because
    yield "Transfer equipment", design.transfer.because
    for circuit in design.circuits:
        yield f"Circuit {circuit.name}", circuit.because
    for run in design.runs:
        names = f"{run.from_} to {run.to}".replace("_", " ")
        yield f"Run {run.index + 1}, {names}", run.because
    yield "Supply cord", design.cord.because
    for part in estimate.take_off.parts:
        yield f"Part: {part.description}", part.because
    for task in estimate.take_off.labour:
        yield f"Labour: {task.task}", task.because
    yield "Price", estimate.price.because
    for answer in estimate.credits:
        yield f"Credit: {answer.programme}", answer.because
        for line in answer.lines:
            yield f"Credit, {line.cost}", line.because
    for way in estimate.ways:
        yield f"Comparison: {way.way.replace('_', ' ')}", way.because
        for cost in way.costs:
            yield f"Comparison, {way.way.replace('_', ' ')}: {cost.text}", cost.because
