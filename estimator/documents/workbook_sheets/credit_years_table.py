"""The tables of years on the sheet of credits."""

from collections.abc import Sequence
from decimal import Decimal
from itertools import groupby

from estimator.credits.chain import LinkOfYear
from estimator.credits.year_table import CreditYear
from estimator.documents.credit_years import (
    CARRIED,
    CARRIED_IS,
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


def write_carried(page: Page, links: Sequence[LinkOfYear]) -> None:
    """Write the years after the claim that use what is left of it; or nothing."""
    if not links:
        return
    page.heading(CARRIED)
    page.paragraph(CARRIED_IS)
    page.head(("Year, and reading", "Carried in", "Used", "Left over", "What is open", ""))
    for link in links:
        sure = (link.carried_in, link.amount, link.carryforward)
        most = (
            link.carried_in_if_uncertain,
            link.amount_if_uncertain,
            link.carryforward_if_uncertain,
        )
        _write_link(page, f"{link.year}, sure", sure, link.open_because)
        _write_link(page, f"{link.year}, if all is allowed", most, "")
    page.gap()


def _write_link(page: Page, words: str, amounts: tuple[Decimal | None, ...], why: str) -> None:
    page.text(1, words)
    for column, amount in enumerate(amounts, start=2):
        if amount is None:
            page.text(column, "not known")
        else:
            page.number(column, amount, "Money")
    page.paragraph(why, "Text", first=5)


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
