"""The workbook of one estimate: live formulas from quantity to grand total."""

import errno
import io
import os
from datetime import datetime
from zipfile import ZIP_STORED, ZipFile

from lxml.etree import SerialisationError  # type: ignore[import-untyped]
from openpyxl import Workbook
from openpyxl.writer.excel import ExcelWriter

from estimator.documents.cached_values import CellValue, with_cached_values
from estimator.documents.cell_text import property_text
from estimator.documents.records import FullEstimate
from estimator.documents.workbook_sheets import (
    assumptions,
    cautions_sheet,
    charts,
    comparison,
    credit,
    design,
    findings,
    labour,
    parts,
    price,
    purchase,
    reasons,
    summary,
)
from estimator.documents.workbook_sheets.page import Page
from estimator.documents.workbook_styles import add_styles

_CREATOR = "House-backup estimator"
_SHEETS = (
    summary, design, parts, purchase, labour, price, credit, comparison, charts, findings,
    assumptions, reasons, cautions_sheet,
)  # fmt: skip


def write_workbook(estimate: FullEstimate, title: str = "House backup estimate") -> bytes:
    """The estimate as an XLSX file.

    Inputs are marked and unlocked; every formula carries its value, so that a viewer that does
    not calculate shows the same figures. The same estimate and title give the same bytes.
    Raises OSError where there is no room for temporary files.
    """
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    add_styles(workbook, estimate.price.currency)
    values: dict[tuple[str, str], CellValue] = {}
    pages = {sheet.TITLE: Page(workbook, sheet.TITLE, sheet.WIDTHS, values) for sheet in _SHEETS}
    design.write_design(pages[design.TITLE], estimate)
    parts_cells = parts.write_parts(pages[parts.TITLE], estimate)
    purchase.write_purchase(pages[purchase.TITLE], estimate, parts_cells)
    labour_cells = labour.write_labour(pages[labour.TITLE], estimate)
    price_cells = price.write_price(pages[price.TITLE], estimate, parts_cells, labour_cells)
    credit_cells = credit.write_credit(pages[credit.TITLE], estimate)
    comparison.write_comparison(pages[comparison.TITLE], estimate)
    charts.write_charts(pages[charts.TITLE], estimate, price_cells)
    findings.write_findings(pages[findings.TITLE], estimate)
    assumptions.write_assumptions(pages[assumptions.TITLE], estimate)
    reasons.write_reasons(pages[reasons.TITLE], estimate)
    cautions_sheet.write_cautions(pages[cautions_sheet.TITLE], estimate)
    summary.write_summary(pages[summary.TITLE], estimate, title, price_cells, credit_cells)
    _set_properties(workbook, estimate, title)
    written = io.BytesIO()
    # Not compressed yet: the values of the formulas are put in before that.
    try:
        ExcelWriter(workbook, ZipFile(written, "w", ZIP_STORED)).save()
    except SerialisationError as error:
        # Each sheet is a temporary file first, and this is how a full disk is told there.
        if "ENOSPC" not in str(error):
            raise
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)) from error
    return with_cached_values(written.getvalue(), tuple(pages), values, estimate.computed_on)


def _set_properties(workbook: Workbook, estimate: FullEstimate, title: str) -> None:
    day = estimate.computed_on
    properties = workbook.properties
    properties.creator = _CREATOR
    properties.lastModifiedBy = _CREATOR
    properties.title = property_text(title)
    properties.subject = property_text(estimate.job.name)
    properties.created = datetime(day.year, day.month, day.day)  # noqa: DTZ001
