"""The audit trail: who did what to what, and when."""

from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate

from estimator.job.schema_fields import Text
from estimator.store.tables.work import AuditEntryRow
from estimator.web.api.field_kinds import Identifier, answered, answered_id, moment
from estimator.web.api.listing import PageQuery, list_page, page_of
from estimator.web.api.operation import Ask, Operation, Reply, operation

audit = Blueprint(
    "audit",
    __name__,
    url_prefix="/api/v1/audit",
    description="Who did what to what, and when; written with each change, never changed",
)
_COLUMNS = {"at": AuditEntryRow.at, "id": AuditEntryRow.id}


def _word(description: str, example: str) -> Text:
    return Text(
        load_default="",
        validate=validate.Length(max=200),
        metadata={"description": description, "example": example},
    )


class AuditQuery(PageQuery):
    """Which entries."""

    subject = _word("what kind of thing", "quote")
    subject_id = _word("identifier of the thing", "018f0000-0000-7000-8000-000000000001")
    action = _word("what was done", "sent")
    by_person = Identifier(load_default=None, metadata={"description": "who did it"})


class AuditEntrySchema(Schema):
    """One thing that somebody did."""

    id = answered_id("identifier")
    at = moment("when")
    by_person = answered_id("who; null: the program, or a customer by link", nullable=True)
    by_name = answered(fields.String, "who, in words", "customer, by link")
    action = answered(fields.String, "what was done", "sent")
    subject = answered(fields.String, "what kind of thing", "quote")
    subject_id = answered(fields.String, "identifier of the thing")
    details = fields.Dict(required=True, metadata={"description": "what else is to be told"})


@operation(audit, Operation("GET", "", page_of(AuditEntrySchema), query=AuditQuery))
def list_audit_entries(ask: Ask) -> Reply:
    """List what was done, the newest first"""
    where = [
        getattr(AuditEntryRow, name) == ask.query[name]
        for name in ("subject", "subject_id", "action", "by_person")
        if ask.query[name]
    ]
    return list_page(ask, AuditEntryRow, _COLUMNS, "-at,-id", *where)
