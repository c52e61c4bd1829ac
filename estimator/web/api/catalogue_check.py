"""The check-up of price lists: what was read and what the lists can serve, storing nothing."""

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from flask import Response, current_app, json, request
from flask_smorest import Blueprint
from marshmallow import Schema, fields
from werkzeug.exceptions import UnsupportedMediaType

from estimator import usecases
from estimator.config import Config
from estimator.documents.catalogue_report import catalogue_check_document
from estimator.finding import Fault, InputRefused
from estimator.job.schema import JobSchema
from estimator.usecases import NamedBytes
from estimator.web.api.estimate_request import (
    read_body,
    read_day,
    read_named_text,
    read_price_lists,
)
from estimator.web.api.problem_schema import ProblemSchema
from estimator.web.api.request_schema import NamedTextSchema
from estimator.web.api.result_schema import RejectedRowSchema, UnreadRowSchema
from estimator.web.problem import PROBLEM_JSON

MOST_JOBS = 20
MOST_MAPPINGS = 20
_FIELDS = ("catalogue", "confirmed", "jobs", "mappings", "on")

catalogue_check = Blueprint(
    "catalogue", __name__, url_prefix="/api/v1/catalogue", description="Price lists"
)


class CatalogueCheckRequestSchema(Schema):
    """Price lists to look into, and jobs whose parts are looked for."""

    catalogue = fields.List(
        fields.Nested(NamedTextSchema),
        required=True,
        metadata={"description": "price lists as CSV text"},
    )
    confirmed = fields.Nested(
        NamedTextSchema,
        metadata={"description": "what described items are, as CSV text"},
    )
    mappings = fields.List(
        fields.Nested(NamedTextSchema),
        metadata={
            "description": "what the columns of each price list hold, in their order, as CSV or "
            "JSON text in the fields of column_mapping; an empty text says nothing"
        },
    )
    jobs = fields.List(
        fields.Nested(JobSchema),
        metadata={"description": "jobs whose parts are looked for; default the sample jobs"},
    )
    on = fields.Date(metadata={"description": "prices that hold on this day; default today"})


class ReadFromSchema(Schema):
    """Items by where their kind and attributes come from."""

    columns = fields.Integer(required=True)
    confirmed = fields.Integer(required=True)
    description = fields.Integer(required=True)


class UnreadListRowSchema(UnreadRowSchema):
    """A row of a list whose description does not tell for sure what is sold."""

    sheet = fields.String(required=True, metadata={"description": "blank for a text"})


class PassedOverSchema(Schema):
    """A row that is no item, such as a title or a sum."""

    sheet = fields.String(required=True, metadata={"description": "blank for a text"})
    row = fields.Integer(required=True)
    why = fields.String(required=True, metadata={"example": "a subtotal"})
    text = fields.String(required=True)


class LeftOutSchema(Schema):
    """A sheet without items."""

    sheet = fields.String(required=True)
    why = fields.String(required=True)


class MappingLineSchema(Schema):
    """What a column is taken for, or what holds for a whole sheet."""

    sheet = fields.String(required=True, metadata={"description": "blank for a text"})
    letter = fields.String(required=True, metadata={"example": "D"})
    head = fields.String(required=True)
    column = fields.String(
        required=True, metadata={"description": "blank: passed over", "example": "price"}
    )
    value = fields.String(required=True, metadata={"description": "holds for every row"})
    proposed = fields.String(required=True, metadata={"description": "to be confirmed"})
    because = fields.String(required=True)
    examples = fields.String(required=True)


class ListCheckSchema(Schema):
    """What was read from one price list."""

    name = fields.String(required=True)
    supplier = fields.String(required=True)
    sha256 = fields.String(required=True, metadata={"description": "digest of the bytes"})
    rows_read = fields.Integer(required=True)
    items = fields.Integer(required=True)
    read_from = fields.Nested(ReadFromSchema, required=True)
    price_basis = fields.Dict(
        keys=fields.String(),
        values=fields.Integer(),
        required=True,
        metadata={"description": "items by what a price is for", "example": {"hundred": 40}},
    )
    rejected = fields.List(
        fields.Nested(RejectedRowSchema),
        required=True,
        metadata={"description": "rows with a fault"},
    )
    unread = fields.List(
        fields.Nested(UnreadListRowSchema),
        required=True,
        metadata={"description": "rows whose description was not understood"},
    )
    doubts = fields.List(
        fields.Nested(RejectedRowSchema),
        required=True,
        metadata={"description": "cells that were left out of items that are used all the same"},
    )
    rows_in_file = fields.Integer(
        required=True, metadata={"description": "read, passed over and blank ones together"}
    )
    rows_passed_over = fields.Integer(required=True)
    rows_blank = fields.Integer(required=True)
    passed_over = fields.List(fields.Nested(PassedOverSchema), required=True)
    sheets_left_out = fields.List(fields.Nested(LeftOutSchema), required=True)
    read_as = fields.List(
        fields.String(),
        required=True,
        metadata={"description": "what was concluded about the whole list"},
    )
    column_mapping = fields.List(fields.Nested(MappingLineSchema), required=True)


class CoverageSchema(Schema):
    """Parts by how they are matched."""

    parts = fields.Integer(required=True)
    exact = fields.Integer(required=True)
    confirmed = fields.Integer(required=True)
    proposed = fields.Integer(required=True)
    unpriced = fields.Integer(required=True)


class MatchedItemSchema(Schema):
    """An item that serves a part."""

    supplier = fields.String(required=True)
    item_number = fields.String(required=True)
    description = fields.String(required=True)
    unit_price = fields.String(required=True, metadata={"description": "four places"})
    pack = fields.String(required=True, metadata={"description": "units sold at once"})


class PartMatchSchema(Schema):
    """One part and the items that serve it."""

    part = fields.String(required=True)
    kind = fields.String(required=True)
    attributes = fields.Dict(keys=fields.String(), values=fields.String(), required=True)
    match = fields.String(
        required=True, metadata={"description": "exact, confirmed, proposed or unpriced"}
    )
    items = fields.List(fields.Nested(MatchedItemSchema), required=True)
    score = fields.String(
        required=True,
        allow_none=True,
        metadata={"description": "of a proposed match, 1 at most", "example": "0.95"},
    )
    because = fields.List(
        fields.String(),
        required=True,
        metadata={"description": "why a match is only proposed"},
    )


class CheckFindingSchema(Schema):
    """Something that the lists have to tell."""

    severity = fields.String(required=True)
    code = fields.String(required=True, metadata={"example": "PRICE_OUT_OF_LINE"})
    message = fields.String(required=True)
    remedy = fields.String(required=True)


class CatalogueCheckSchema(Schema):
    """Reading, units, matches and coverage."""

    lists = fields.List(fields.Nested(ListCheckSchema), required=True)
    jobs = fields.List(fields.String(), required=True)
    coverage = fields.Nested(CoverageSchema, required=True)
    matches = fields.List(fields.Nested(PartMatchSchema), required=True)
    findings = fields.List(fields.Nested(CheckFindingSchema), required=True)


def _problem(meaning: str) -> dict[str, Any]:
    return {"description": meaning, "content": {PROBLEM_JSON: {"schema": ProblemSchema}}}


@catalogue_check.post("/check")
@catalogue_check.doc(
    requestBody={
        "required": True,
        "content": {"application/json": {"schema": CatalogueCheckRequestSchema}},
    },
    responses={
        "200": {
            "description": "What was read and what the lists can serve",
            "content": {"application/json": {"schema": CatalogueCheckSchema}},
        },
        "400": _problem("The body is not JSON"),
        "413": _problem("The body is too large"),
        "415": _problem("The body is not declared as application/json"),
        "422": _problem("A list or a job cannot be used; every fault is listed"),
    },
)
def check_catalogue() -> Response:
    """Report reading, units, matches and coverage of price lists, storing nothing"""
    if request.mimetype != "application/json":
        raise UnsupportedMediaType("Send the body as application/json.")
    body = read_body(request.get_data(cache=False))
    config: Config = current_app.config["ESTIMATOR"]
    faults = [
        Fault(f"/{name}", f"is not a field; the fields are {', '.join(_FIELDS)}")
        for name in body
        if name not in _FIELDS
    ]
    lists = read_price_lists(body.get("catalogue"), config, faults)
    confirmed = (
        read_named_text(body["confirmed"], "/confirmed", faults) if "confirmed" in body else None
    )
    mappings = _mappings(body, faults)
    jobs = _jobs(body, faults)
    day = read_day(body.get("on"), faults)
    if faults:
        raise InputRefused("request", tuple(faults))
    today = day or datetime.now(UTC).astimezone().date()
    found = usecases.check_catalogue(
        lists, jobs, today=today, confirmed=confirmed, mappings=mappings
    )
    answer = json.dumps(catalogue_check_document(found))
    return Response(answer, 200, content_type="application/json")


def _mappings(body: Mapping[str, object], faults: list[Fault]) -> list[NamedBytes | None]:
    told = body.get("mappings", [])
    if not isinstance(told, list) or len(told) > MOST_MAPPINGS:
        faults.append(Fault("/mappings", f"must be a list of at most {MOST_MAPPINGS} mappings"))
        return []
    read = [read_named_text(each, f"/mappings/{at}", faults) for at, each in enumerate(told)]
    return [each if each is not None and each[1].strip() else None for each in read]


def _jobs(body: Mapping[str, object], faults: list[Fault]) -> list[tuple[str, object]]:
    jobs = body.get("jobs", [])
    if not isinstance(jobs, list) or len(jobs) > MOST_JOBS:
        faults.append(Fault("/jobs", f"must be a list of at most {MOST_JOBS} job descriptions"))
        return []
    return [(f"/jobs/{place}", job) for place, job in enumerate(jobs)]
