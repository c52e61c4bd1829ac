"""Any document on paper by its kind."""

from collections.abc import Callable, Mapping
from typing import get_args

from estimator.documents.pdf.buying_list_pdf import buying_list_pdf
from estimator.documents.pdf.credit_memo_pdf import credit_memo_pdf
from estimator.documents.pdf.directory_pdf import directory_pdf
from estimator.documents.pdf.estimate_pdf import estimate_pdf
from estimator.documents.pdf.quote_pdf import quote_pdf
from estimator.documents.pdf.records import PdfKind, Sheet
from estimator.documents.pdf.start_up_pdf import start_up_pdf
from estimator.documents.records import FullEstimate

PDF_KINDS: tuple[PdfKind, ...] = get_args(PdfKind)
_WRITERS: Mapping[PdfKind, Callable[[FullEstimate, Sheet], bytes]] = {
    "quote": quote_pdf,
    "estimate": estimate_pdf,
    "buying_list": buying_list_pdf,
    "credit_memo": credit_memo_pdf,
    "start_up": start_up_pdf,
    "directory": directory_pdf,
}


def write_pdf(kind: PdfKind, estimate: FullEstimate, sheet: Sheet | None = None) -> bytes:
    """The document as PDF. Raises InputRefused for a logo that cannot be used."""
    return _WRITERS[kind](estimate, sheet or Sheet())
