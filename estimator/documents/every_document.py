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


def every_document(estimate: FullEstimate, sheet: Sheet) -> Iterator[tuple[str, bytes]]:
    """(File name, bytes) of workbook, result, papers, pictures and lists.

    Raises InputRefused for a logo that cannot be used, before anything is given.
    """
    for kind in PDF_KINDS:
        yield f"{kind}.pdf", write_pdf(kind, estimate, sheet)
    yield "estimate.xlsx", write_workbook(estimate)
    result = json.dumps(result_document(estimate), indent=2, ensure_ascii=False)
    yield "result.json", f"{result}\n".encode()
    for name, picture in PICTURES.items():
        yield f"{name}.svg", picture(estimate).encode()
    for name in LISTS:
        yield f"{name}.csv", list_csv(name, estimate).encode()
