"""The table of years on the sheet of credits."""

from collections.abc import Sequence
from itertools import groupby

from estimator.credits.year_table import CreditYear
from estimator.documents.credit_years import (
    TOGETHER,
    TOGETHER_IS,
    YEARS_ARE,
    YearSpan,
    year_spans,
)
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_styles import Style

STYLE_OF_STATUS: dict[str, Style] = {
    "eligible": "Notice",
    "uncertain": "Warning",
    "not_eligible": "Code",
}


def write_years(page: Page, years: Sequence[CreditYear]) -> None:
    """Write the years of each programme, those in which nothing changes together; or nothing."""
    if not years:
        return
    page.heading("By year of completion")
    page.paragraph(YEARS_ARE)
    page.head(("Years", "Sure", "Verdict", "If all is allowed", "Why it is so, or changes", ""))
    for programme, spans in groupby(year_spans(years), key=lambda span: span.programme):
        words = f"{programme}. {TOGETHER_IS}" if programme == TOGETHER else programme
        page.paragraph(words, "Total label")
        for span in spans:
            _write_span(page, span)
    page.gap()


def _write_span(page: Page, span: YearSpan) -> None:
    page.text(1, span.years)
    page.number(2, span.amount, "Money")
    if span.status is not None:
        page.text(3, span.status.replace("_", " "), STYLE_OF_STATUS[span.status])
    page.number(4, span.amount_if_uncertain, "Money")
    page.paragraph(span.told, "Text", first=5)
