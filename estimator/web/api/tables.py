"""Published tables and rules with their sources, for somebody who checks the figures."""

from typing import Any, get_args

from flask import Response, json, request
from flask_smorest import Blueprint
from marshmallow import Schema, fields
from marshmallow.validate import OneOf
from werkzeug.exceptions import NotFound

from estimator import usecases
from estimator.documents.table_listing import table_document, tables_document
from estimator.job.records import CodeEdition
from estimator.published.audit import UnknownTable
from estimator.published.sources import load_sources
from estimator.web.api.problem_schema import ProblemSchema
from estimator.web.problem import PROBLEM_JSON

EDITIONS = get_args(CodeEdition)

tables = Blueprint(
    "tables",
    __name__,
    url_prefix="/api/v1/tables",
    description="Published tables and rules, each row with its source",
)


class TableEntrySchema(Schema):
    """One table or rule file of the package."""

    name = fields.String(required=True, metadata={"example": "sizing.ampacity"})
    file = fields.String(required=True, metadata={"example": "sizing/tables/ampacity.csv"})
    rows = fields.Integer(required=True)
    from_memory = fields.Integer(
        required=True, metadata={"description": "rows that rest on memory alone"}
    )
    common_practice = fields.Integer(
        required=True, metadata={"description": "rows of common practice, without a source"}
    )


class TableListSchema(Schema):
    """All tables and rule files."""

    tables = fields.List(fields.Nested(TableEntrySchema), required=True)


class RowSourceSchema(Schema):
    """A source of a row."""

    source = fields.String(required=True, metadata={"example": "nec_310_16"})
    citation = fields.String(required=True, metadata={"example": "NFPA 70 (2023), Table 310.16"})
    status = fields.String(required=True, metadata={"description": "how it was checked"})


class TableRowSchema(Schema):
    """One row."""

    cells = fields.List(
        fields.String(), required=True, metadata={"description": "in the order of the columns"}
    )
    sources = fields.List(fields.Nested(RowSourceSchema), required=True)
    status = fields.String(
        required=True, metadata={"description": "the best status of its sources"}
    )


class TableSchema(Schema):
    """One table with all rows."""

    name = fields.String(required=True, metadata={"example": "sizing.ampacity"})
    file = fields.String(required=True)
    code_edition = fields.String(
        required=True, metadata={"description": "edition that the citations are of"}
    )
    columns = fields.List(fields.String(), required=True)
    from_memory = fields.Integer(required=True)
    rows = fields.List(fields.Nested(TableRowSchema), required=True)


class TableQuerySchema(Schema):
    """Which edition of the code the citations are of."""

    code_edition = fields.String(
        load_default=EDITIONS[-1],
        validate=OneOf(EDITIONS),
        metadata={"description": "edition of NFPA 70 that the citations are of"},
    )


def _problem(meaning: str) -> dict[str, Any]:
    return {"description": meaning, "content": {PROBLEM_JSON: {"schema": ProblemSchema}}}


def _answer(schema: type[Schema], meaning: str) -> dict[str, Any]:
    return {
        "description": meaning,
        "content": {"application/json": {"schema": schema}},
        "headers": {"ETag": {"schema": {"type": "string"}}},
    }


_NOT_MODIFIED = {"description": "Unchanged since the ETag that was sent along"}


@tables.get("")
@tables.doc(
    responses={"200": _answer(TableListSchema, "Every table by name"), "304": _NOT_MODIFIED}
)
def list_tables() -> Response:
    """List every published table and rule file with its row counts"""
    return _tagged(tables_document(usecases.list_tables(), load_sources()))


@tables.get("/<name>")
@tables.doc(
    responses={
        "200": _answer(TableSchema, "The table with the source of each row"),
        "304": _NOT_MODIFIED,
        "404": _problem("No table has this name"),
        "422": _problem("The code edition is not known"),
    }
)
@tables.arguments(TableQuerySchema, location="query", error_status_code=422)
def show_table(query: dict[str, str], name: str) -> Response:
    """Show one table, each row with its sources spelled out"""
    try:
        table = usecases.show_table(name)
    except UnknownTable as unknown:
        raise NotFound(str(unknown)) from unknown
    return _tagged(table_document(table, load_sources(), query["code_edition"]))


def _tagged(document: dict[str, Any]) -> Response:
    answer = Response(json.dumps(document), 200, content_type="application/json")
    answer.add_etag()
    answer.make_conditional(request)
    return answer
