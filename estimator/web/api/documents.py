"""Documents without storage: a job and price lists in, one paper, picture or list out."""

from collections.abc import Mapping
from typing import get_args

from flask import Response
from flask_smorest import Blueprint
from marshmallow import Schema, fields
from marshmallow.validate import OneOf

from estimator.documents.every_document import PICTURES
from estimator.documents.lists_csv import LISTS, list_csv
from estimator.documents.pdf import PDF_KINDS, Paper, Sheet, write_pdf
from estimator.web.answering import file_answer
from estimator.web.api.estimates import BODY, PROBLEMS, estimate_asked, read_asked
from estimator.web.api.problem_schema import ProblemSchema
from estimator.web.problem import PROBLEM_JSON

PAPERS = get_args(Paper)
LOCALES = ("en_US", "en_CA", "en_GB")

documents = Blueprint(
    "documents",
    __name__,
    url_prefix="/api/v1/documents",
    description="What is handed over, printed, sent and built from",
)


class SheetQuerySchema(Schema):
    """How a paper is laid out."""

    paper = fields.String(load_default=PAPERS[0], validate=OneOf(PAPERS))
    locale = fields.String(load_default=LOCALES[0], validate=OneOf(LOCALES))


def _document(description: str, media: str) -> dict[str, object]:
    schema = {"type": "string", "format": "binary"}
    missing = {
        "description": "No document of that name",
        "content": {PROBLEM_JSON: {"schema": ProblemSchema}},
    }
    return {
        "200": {"description": description, "content": {media: {"schema": schema}}},
        **PROBLEMS,
        "404": missing,
    }


def _named(names: tuple[str, ...]) -> list[dict[str, object]]:
    return [
        {
            "in": "path",
            "name": "name",
            "required": True,
            "schema": {"type": "string", "enum": list(names)},
        }
    ]


@documents.post(f"/papers/<any({', '.join(PDF_KINDS)}):name>")
@documents.arguments(SheetQuerySchema, location="query")
@documents.doc(
    parameters=_named(PDF_KINDS),
    requestBody=BODY,
    responses=_document("The paper as tagged PDF", "application/pdf"),
)
def compute_paper(query: Mapping[str, str], name: str) -> Response:
    """Compute one job and answer one of its papers, storing nothing"""
    kind = next(each for each in PDF_KINDS if each == name)
    paper = next(each for each in PAPERS if each == query["paper"])
    estimate = estimate_asked(read_asked())
    data = write_pdf(kind, estimate, Sheet(paper=paper, locale=query["locale"]))
    return file_answer(data, "application/pdf", f"{name}.pdf")


@documents.post(f"/pictures/<any({', '.join(PICTURES)}):name>")
@documents.doc(
    parameters=_named(tuple(PICTURES)),
    requestBody=BODY,
    responses=_document("The picture as SVG", "image/svg+xml"),
)
def compute_picture(name: str) -> Response:
    """Compute one job and answer one of its pictures, storing nothing"""
    return file_answer(
        PICTURES[name](estimate_asked(read_asked())).encode(), "image/svg+xml", f"{name}.svg"
    )


@documents.post(f"/lists/<any({', '.join(LISTS)}):name>")
@documents.doc(
    parameters=_named(tuple(LISTS)),
    requestBody=BODY,
    responses=_document("The list as comma-separated values", "text/csv"),
)
def compute_list(name: str) -> Response:
    """Compute one job and answer one of its lists, storing nothing"""
    text = list_csv(name, estimate_asked(read_asked()))
    return file_answer(text.encode(), "text/csv; charset=utf-8", f"{name}.csv")
