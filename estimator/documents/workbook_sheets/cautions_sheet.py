"""The sheet of cautions, and the same list for the first sheet."""

from estimator.documents.cautions import Caution, CautionSeverity, cautions_for
from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_styles import Style
from estimator.published.sources import load_sources

TITLE = "Cautions"
WIDTHS = (11, 96, 48)
HEADS = ("Severity", "Caution", "Source")
STYLE_OF_SEVERITY: dict[CautionSeverity, Style] = {
    "danger": "Danger",
    "warning": "Warning",
    "notice": "Notice",
}


def write_cautions(page: Page, estimate: FullEstimate) -> None:
    """Fill the sheet with every caution that the job calls for, dangers first."""
    edition = estimate.job.site.code_edition
    page.heading("Cautions", "Sheet title")
    page.paragraph(
        "Read all of this before buying or building. It does not replace the local code, the "
        "instructions of the equipment or a licensed electrician."
    )
    head_row = page.head(HEADS)
    for caution in cautions_for(estimate.job):
        page.text(1, caution.severity, STYLE_OF_SEVERITY[caution.severity])
        page.text(2, caution.text)
        page.text(3, load_sources()[caution.source].cite(edition))
        page.row += 1
    page.finish(head_row=head_row)


def write_caution_block(page: Page, cautions: tuple[Caution, ...], last: int) -> None:
    """Write cautions below one another: severity in column A, text over the columns to last."""
    for caution in cautions:
        page.text(1, caution.severity, STYLE_OF_SEVERITY[caution.severity])
        page.paragraph(caution.text, "Text", first=2, last=last)
