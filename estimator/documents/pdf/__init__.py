"""Documents on paper: what is handed over, printed, sent and built from, as PDF."""

from estimator.documents.pdf.records import Letterhead, Paper, PdfKind, Sheet
from estimator.documents.pdf.write import PDF_KINDS, write_pdf

__all__ = ["PDF_KINDS", "Letterhead", "Paper", "PdfKind", "Sheet", "write_pdf"]
