"""The sheet of findings: what is wrong or worth knowing, and what to change."""

from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_styles import Style
from estimator.finding import Severity
from estimator.published.sources import load_sources

TITLE = "Findings"
WIDTHS = (10, 58, 52, 24, 30, 26)
HEADS = ("Severity", "What was found", "What to do", "Where in the job", "Source", "Code")
STYLE_OF_SEVERITY: dict[Severity, Style] = {
    "error": "Danger",
    "warning": "Warning",
    "note": "Notice",
}


def write_findings(page: Page, estimate: FullEstimate) -> None:
    """Fill the sheet with every finding, errors first."""
    edition = estimate.job.site.code_edition
    page.heading("Findings", "Sheet title")
    page.paragraph(
        "An error means: not buildable, or against the code as described. "
        "The rest of the estimate stands beside it so that both can be judged."
    )
    head_row = page.head(HEADS)
    for finding in estimate.findings:
        page.text(1, finding.severity, STYLE_OF_SEVERITY[finding.severity])
        page.text(2, finding.message)
        page.text(3, finding.remedy)
        page.text(4, finding.where or "the whole job", "Code")
        page.text(5, load_sources()[finding.source].cite(edition))
        page.text(6, finding.code, "Code")
        page.row += 1
    if not estimate.findings:
        page.row_of_text(("none", "Nothing was found against the job as described."))
    page.finish(head_row=head_row)
