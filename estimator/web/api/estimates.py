"""Estimates without storage: a job and price lists in, the whole result or its workbook out."""

from datetime import UTC, date, datetime

from flask import Response, current_app, json, request
from flask_smorest import Blueprint
from werkzeug.exceptions import UnsupportedMediaType

from estimator import usecases
from estimator.config import Config
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.documents.workbook import write_workbook
from estimator.web.api.estimate_request import EstimateRequest, read_estimate_request
from estimator.web.api.problem_schema import ProblemSchema
from estimator.web.api.request_schema import EstimateRequestSchema
from estimator.web.api.result_schema import ResultSchema
from estimator.web.problem import PROBLEM_JSON

WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

estimates = Blueprint(
    "estimates", __name__, url_prefix="/api/v1/estimates", description="A job, estimated"
)

PROBLEMS = {
    str(status): {
        "description": meaning,
        "content": {PROBLEM_JSON: {"schema": ProblemSchema}},
    }
    for status, meaning in {
        400: "The body is not JSON",
        413: "The body is too large",
        415: "The body is not declared as application/json",
        422: "The job or a price list cannot be used; every fault is listed",
    }.items()
}
BODY = {
    "required": True,
    "content": {"application/json": {"schema": EstimateRequestSchema}},
}


@estimates.post("")
@estimates.doc(
    requestBody=BODY,
    responses={
        "200": {
            "description": "Design, parts, labour, price and credits",
            "content": {"application/json": {"schema": ResultSchema}},
        },
        **PROBLEMS,
    },
)
def compute_estimate() -> Response:
    """Compute everything about one job, storing nothing"""
    body = json.dumps(result_document(estimate_asked(read_asked())))
    return Response(body, 200, content_type="application/json")


@estimates.post("/workbook")
@estimates.doc(
    requestBody=BODY,
    responses={
        "200": {
            "description": "The estimate as a workbook with live formulas",
            "content": {WORKBOOK: {"schema": {"type": "string", "format": "binary"}}},
        },
        **PROBLEMS,
    },
)
def compute_workbook() -> Response:
    """Compute one job and answer its workbook, storing nothing"""
    data = write_workbook(estimate_asked(read_asked()))
    answer = Response(data, 200, content_type=WORKBOOK)
    answer.headers["Content-Disposition"] = 'attachment; filename="estimate.xlsx"'
    return answer


def read_asked() -> EstimateRequest:
    """The request's body. Raises what tells its faults."""
    if request.mimetype != "application/json":
        raise UnsupportedMediaType("Send the body as application/json.")
    config: Config = current_app.config["ESTIMATOR"]
    return read_estimate_request(request.get_data(cache=False), config)


def estimate_asked(asked: EstimateRequest) -> FullEstimate:
    """The estimate of a request."""
    return usecases.estimate_document(
        asked.job,
        asked.price_lists,
        today=asked.on or _today(),
        labour=asked.labour_units,
        programmes=asked.programmes,
        programme_facts=asked.programme_facts,
        by_year=asked.year_table,
        confirmed=asked.confirmed,
        supplier_terms=asked.supplier_terms,
    )


def _today() -> date:
    return datetime.now(UTC).astimezone().date()
