"""Revisions of a quote: whole, immutable, comparable, with their documents."""

from dataclasses import asdict
from datetime import date
from typing import Any
from uuid import UUID

from flask import Response
from flask_smorest import Blueprint
from marshmallow import validate
from werkzeug.exceptions import Conflict

from estimator.documents.every_document import DOCUMENTS
from estimator.job.told import Told
from estimator.quotes.difference import RevisionDifference, revision_difference
from estimator.quotes.snapshot import shortcomings
from estimator.quotes.states import state_on
from estimator.store.quote_revisions import find_revision, snapshot_document
from estimator.store.quotes import find_quote
from estimator.store.tables.quotes import QuoteRevisionRow
from estimator.stored.quote_papers import revision_paper
from estimator.stored.quoting import NotTheSame, revise_quote
from estimator.web.answering import file_answer
from estimator.web.api.difference_schemas import RevisionDifferenceSchema
from estimator.web.api.field_kinds import Whole
from estimator.web.api.listing import PageQuery, list_page, page_of
from estimator.web.api.means_fields import wanted_of
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.quote_schemas import (
    REVISION_EXAMPLE,
    RevisionBody,
    RevisionRowSchema,
    RevisionSchema,
)
from estimator.web.api.snapshot_schema import SnapshotSchema

quote_revisions = Blueprint(
    "quote revisions",
    __name__,
    url_prefix="/api/v1/quotes/<uuid:quote_id>/revisions",
    description="What each revision of a quote holds, and what it changes",
)
_NUMBER = "/<int(min=1, max=999999999):number>"
_COLUMNS = {"number": QuoteRevisionRow.number, "created_at": QuoteRevisionRow.created_at}
_MEDIA = tuple(dict.fromkeys(media.partition(";")[0] for media in DOCUMENTS.values()))
_NAMES = {
    "in": "path",
    "name": "name",
    "required": True,
    "schema": {"type": "string", "enum": list(DOCUMENTS)},
}


class RevisionDifferenceQuery(Told):
    """Against which revision."""

    against = Whole(
        load_default=None,
        validate=validate.Range(1, 999_999_999),
        metadata={"description": "number of the older revision; default the one before"},
    )


@operation(quote_revisions, Operation("GET", "", page_of(RevisionRowSchema), query=PageQuery))
def list_revisions(ask: Ask, quote_id: UUID) -> Reply:
    """List the revisions of a quote, the newest first"""
    find_quote(ask.session, ask.scope, quote_id)
    where = QuoteRevisionRow.quote_id == quote_id
    return list_page(
        ask, QuoteRevisionRow, _COLUMNS, "-number", where,
        told=lambda row: _row(row, ask.today),
    )  # fmt: skip


@operation(
    quote_revisions,
    Operation("POST", "", RevisionSchema, 201, body=RevisionBody, if_match=True),
    documented=Documented("The new revision, a draft", REVISION_EXAMPLE),
)
def revise(ask: Ask, quote_id: UUID) -> Reply:
    """Make the next revision: of the job's newest version, at the prices that count now"""
    body, means = ask.body, ask.body["means"]
    quote = find_quote(ask.session, ask.scope, quote_id)
    row = revise_quote(
        ask.session,
        ask.scope,
        quote_id,
        ask.condition.version(quote.version),
        (means or {}).get("on") or ask.today,
        body["reason"],
        wanted=wanted_of(_complete(means)) if means is not None else None,
        job_version=body["job_version"],
        stated=body["stated"],
    )
    location = f"/api/v1/quotes/{quote_id}/revisions/{row.number}"
    return Reply(_whole(row, ask.today), location=location)


@operation(quote_revisions, Operation("GET", _NUMBER, RevisionSchema))
def show_revision(ask: Ask, quote_id: UUID, number: int) -> Reply:
    """Show a revision with what keeps it from being sent"""
    return Reply(_whole(_found(ask, quote_id, number), ask.today))


@operation(quote_revisions, Operation("GET", _NUMBER + "/snapshot", SnapshotSchema))
def show_snapshot(ask: Ask, quote_id: UUID, number: int) -> Response:
    """Show job, result and basis of a revision, byte for byte as they were kept"""
    row = _found(ask, quote_id, number)
    snapshot_document(row)  # refuses one that was altered
    answer = Response(row.snapshot, 200, content_type="application/json")
    answer.set_etag(row.snapshot_digest)
    return answer


@operation(
    quote_revisions,
    Operation(
        "GET", _NUMBER + "/difference", RevisionDifferenceSchema, query=RevisionDifferenceQuery
    ),
)
def show_revision_difference(ask: Ask, quote_id: UUID, number: int) -> Reply:
    """Show what a revision changes in lines, hours, money and findings, and why"""
    newer = _found(ask, quote_id, number)
    older = _found(ask, quote_id, ask.query["against"] or number - 1)
    found = revision_difference(snapshot_document(older), snapshot_document(newer))
    return Reply({"before": older.number, "after": newer.number, **_difference(found)})


@operation(
    quote_revisions,
    Operation("GET", f"{_NUMBER}/documents/<any({', '.join(map(repr, DOCUMENTS))}):name>", None),
    documented=Documented(
        "The document",
        media=_MEDIA,
        parameters=(_NAMES,),
        problems={409: "It would show something else than was kept; make a new revision"},
    ),
)
def show_document(ask: Ask, quote_id: UUID, number: int, name: str) -> Response:
    """Make a document of a revision; the quote that was sent is the one that was sent"""
    quote = find_quote(ask.session, ask.scope, quote_id)
    row = _found(ask, quote_id, number)
    try:
        data = revision_paper(ask.session, ask.scope, quote, row, name)
    except NotTheSame as error:
        raise Conflict(str(error)) from error
    return document_answer(data, name, f"{quote.number}-{number}-{name}")


def document_answer(data: bytes, name: str, file_name: str) -> Response:
    """A document as a file to be saved."""
    answer = file_answer(data, DOCUMENTS[name], file_name)
    answer.add_etag()
    return answer


def _found(ask: Ask, quote_id: UUID, number: int) -> QuoteRevisionRow:
    find_quote(ask.session, ask.scope, quote_id)
    return find_revision(ask.session, ask.scope, quote_id, number)


def _complete(means: dict[str, Any]) -> dict[str, Any]:
    """With the defaults of what was left out: a nested schema may not have filled them in."""
    return {
        "catalogue_versions": None,
        "labour_table": None,
        "rate_sheet": None,
        "programmes": (),
        "programme_facts": {},
        "year_table": False,
        **means,
    }


def _row(row: QuoteRevisionRow, today: date) -> dict[str, Any]:
    keys = set(RevisionRowSchema().fields) - {"state"}
    return {key: getattr(row, key) for key in keys} | {
        "state": state_on(row.state, row.valid_until, today)
    }


def _whole(row: QuoteRevisionRow, today: date) -> dict[str, Any]:
    found = shortcomings(snapshot_document(row)["result"])
    return _row(row, today) | {"basis": row.basis, "shortcomings": list(map(asdict, found))}


def _difference(found: RevisionDifference) -> dict[str, Any]:
    return {
        "lines": [
            {
                "subject": line.subject,
                "what": line.what,
                "change": line.change,
                "fields": [
                    {"name": name, "before": before, "after": after}
                    for name, before, after in line.fields
                ],
            }
            for line in found.lines
        ],
        "money": [
            {"name": each.name, "before": each.before, "after": each.after,
             "change": each.amount}
            for each in found.money
        ],
        "reasons": [asdict(each) for each in found.reasons],
        "currency_changed": found.currency_changed,
    }  # fmt: skip
