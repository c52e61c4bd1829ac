"""The sheet of assumptions: every default that was used, and the price lists behind it all."""

from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets.page import Page
from estimator.published.sources import load_sources

TITLE = "Assumptions"
WIDTHS = (34, 26, 70, 40)
HEADS = ("Field of the job", "Value used", "Why this value", "Source")
REJECTED_SHOWN = 25


def write_assumptions(page: Page, estimate: FullEstimate) -> None:
    """Fill the sheet with every assumption and with what was read of the price lists."""
    edition = estimate.job.site.code_edition
    page.heading("Assumptions", "Sheet title")
    page.paragraph("The job did not say these things. Check each one; where it is wrong, say so.")
    head_row = page.head(HEADS)
    for assumption in estimate.assumptions:
        page.text(1, assumption.field, "Code")
        page.text(2, assumption.value)
        page.text(3, assumption.because)
        page.text(4, load_sources()[assumption.source].cite(edition))
        page.row += 1
    if not estimate.assumptions:
        page.row_of_text(("none", "", "The job told everything; no default was used.", ""))
    _write_price_lists(page, estimate)
    page.finish(head_row=head_row)


def _write_price_lists(page: Page, estimate: FullEstimate) -> None:
    page.gap()
    page.heading("Priced from")
    page.head(("Price list", "Supplier", "Read", "Digest (SHA-256)"))
    for price_list in estimate.price_lists:
        read = (
            f"Rows read: {price_list.rows_read}; items: {price_list.items_read}; "
            f"rows left out: {price_list.rows_rejected}; "
            f"rows not understood: {len(price_list.unread)}"
        )
        page.row_of_text((price_list.name, price_list.supplier, read, price_list.digest))
        for fault in price_list.rejected[:REJECTED_SHOWN]:
            page.row_of_text(("", fault.where, fault.message, "left out"), "Code")
        more = len(price_list.rejected) - REJECTED_SHOWN
        if more > 0:
            page.row_of_text(("", "", f"and more faults in rows left out: {more}", ""), "Code")
    if not estimate.price_lists:
        page.row_of_text(("none", "", "No price list was given: every part is unpriced.", ""))
