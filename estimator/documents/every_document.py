"""Every document of one estimate, as bytes by file name."""

import json
from collections.abc import Callable, Iterator, Mapping

from estimator.documents import pictures
from estimator.documents.lists_csv import LISTS, list_csv
from estimator.documents.pdf import PDF_KINDS, Sheet, write_pdf
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.documents.workbook import write_workbook

PICTURES: Mapping[str, Callable[[FullEstimate], str]] = {
    "one_line": pictures.one_line_picture,
    "panel_schedule": pictures.panel_schedule_picture,
    "leg_load": pictures.leg_load_picture,
    "run_time": pictures.run_time_picture,
    "ways": pictures.ways_picture,
}


XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
PDF = "application/pdf"
SVG = "image/svg+xml"
CSV = "text/csv; charset=utf-8"
WORKBOOK = "estimate.xlsx"
# Media type by file name.
DOCUMENTS: Mapping[str, str] = {
    **{f"{kind}.pdf": PDF for kind in PDF_KINDS},
    WORKBOOK: XLSX,
    **{f"{name}.svg": SVG for name in PICTURES},
    **{f"{name}.csv": CSV for name in LISTS},
}


def write_document(name: str, estimate: FullEstimate, sheet: Sheet) -> bytes:
    """One document by its file name in DOCUMENTS. Raises KeyError for another name."""
    media = DOCUMENTS[name]
    stem = name.rpartition(".")[0]
    if media == PDF:
        return write_pdf(next(kind for kind in PDF_KINDS if kind == stem), estimate, sheet)
    if media == XLSX:
        return write_workbook(estimate)
    if media == SVG:
        return PICTURES[stem](estimate).encode()
    return list_csv(stem, estimate).encode()


def every_document(estimate: FullEstimate, sheet: Sheet) -> Iterator[tuple[str, bytes]]:
    """(File name, bytes) of workbook, result, papers, pictures and lists.

    Raises InputRefused for a logo that cannot be used, before anything is given.
    """
    for name in DOCUMENTS:
        yield name, write_document(name, estimate, sheet)
    result = json.dumps(result_document(estimate), indent=2, ensure_ascii=False)
    yield "result.json", f"{result}\n".encode()
