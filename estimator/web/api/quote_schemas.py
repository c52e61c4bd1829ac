"""What is asked and answered about quotes."""

from datetime import date
from typing import Any, get_args

from marshmallow import Schema, fields, validate

from estimator.job.schema_fields import Items, Part, Text, Word
from estimator.job.told import Told
from estimator.job.validators import Choice, Size
from estimator.quotes.records import ShortcomingKind
from estimator.quotes.states import QuoteState, state_on
from estimator.store.tables.quotes import QuoteRow
from estimator.web.api.field_kinds import (
    Identifier,
    Whole,
    amount,
    answered,
    answered_id,
    day,
    moment,
    optional_id,
    remark,
)
from estimator.web.api.listing import PageQuery
from estimator.web.api.means_fields import MeansBody

KINDS: tuple[ShortcomingKind, ...] = get_args(ShortcomingKind)
STATES: tuple[QuoteState, ...] = get_args(QuoteState)
_ID = "018f0000-0000-7000-8000-000000000001"
QUOTE_EXAMPLE = {"job_id": _ID, "title": "Backup of the house"}
REVISION_EXAMPLE = {"reason": "new price list"}
HEAD_EXAMPLE = {"title": "Backup of the house", "customer_id": _ID}
COPY_EXAMPLE = {"title": "Backup of the neighbour's house"}
STEP_EXAMPLE = {"note": "by telephone"}


def _title() -> Text:
    return Text(
        load_default="",
        validate=validate.Length(max=200),
        metadata={"description": "default the job's name", "example": "Backup of the house"},
    )


def _stated(**more: Any) -> Items:
    return Items(
        Word(validate=Choice(KINDS)),
        size=Size(0, len(KINDS), "kinds"),
        metadata={
            "description": "kinds of shortcoming that the document states, so that it may be "
            "sent with them"
        },
        **more,
    )


def _job_version() -> Whole:
    return Whole(
        load_default=None,
        allow_none=True,
        validate=validate.Range(1, 999_999_999),
        metadata={"description": "number of a version of the job; default the newest"},
    )


class QuoteBody(MeansBody):
    """A quote to be made."""

    job_id = Identifier(required=True, metadata={"description": "what is quoted"})
    job_version = _job_version()
    title = _title()
    customer_id = optional_id("whom it goes to; default the job's customer")
    stated = _stated(load_default=())


class RevisionBody(Told):
    """A revision to be made."""

    reason = remark("why, in a few words", "new price list", most=500)
    job_version = _job_version()
    stated = _stated(load_default=None, allow_none=True)
    means = Part(
        MeansBody,
        load_default=None,
        allow_none=True,
        metadata={
            "description": "what to compute with; left out: as the revision before, with the "
            "price lists and documents that count now"
        },
    )


class QuoteHeadBody(Told):
    """What stands around a quote's revisions."""

    title = Text(
        required=True,
        validate=validate.Length(min=1, max=200),
        metadata={"description": "what the office calls it", "example": "Backup of the house"},
    )
    customer_id = optional_id("whom it goes to")


class QuoteCopyBody(Told):
    """A quote that is made from another."""

    revision = Whole(
        load_default=None,
        allow_none=True,
        validate=validate.Range(1, 999_999_999),
        metadata={"description": "number of the revision; default the newest"},
    )
    title = _title()
    customer_id = optional_id("whom it goes to; default the same customer")


class StepBody(Told):
    """A step of a quote."""

    note = remark("why, or how it was told", "by telephone", most=500)


class QuoteQuery(PageQuery):
    """Which quotes."""

    state = Word(
        load_default="",
        validate=Choice((*STATES, "")),
        metadata={"description": "as it is today", "example": "sent"},
    )
    search = Text(
        load_default="",
        validate=validate.Length(max=100),
        metadata={"description": "words of the title or number", "example": "house"},
    )
    customer_id = Identifier(load_default=None, metadata={"description": "of this customer"})
    job_id = Identifier(load_default=None, metadata={"description": "of this job"})


class QuoteRowSchema(Schema):
    """A quote under its number, with what its newest revision says."""

    id = answered_id("identifier")
    number = answered(fields.String, "year and number without holes", "2026-0007")
    title = answered(fields.String, "what the office calls it", "Backup of the house")
    job_id = answered_id("what is quoted", nullable=True)
    customer_id = answered_id("whom it goes to", nullable=True)
    copied_from = answered_id("quote that it was made from", nullable=True)
    newest = answered(fields.Integer, "number of its newest revision", 1)
    state = answered(fields.String, f"as it is today: {', '.join(STATES)}", "draft")
    currency = answered(fields.String, "three letters", "USD")
    total = amount("with tax", "2278.65")
    complete = answered(fields.Boolean, "every part has a price", True)
    valid_until = day("last day on which it can be accepted")
    version = answered(fields.Integer, "counts changes; the ETag", 1)
    created_at = moment("when it was made")
    changed_at = moment("when it was last changed")


class RevisionRowSchema(Schema):
    """A revision of a quote; only its state ever changes."""

    number = answered(fields.Integer, "from 1", 1)
    state = answered(fields.String, f"as it is today: {', '.join(STATES)}", "draft")
    reason = answered(fields.String, "why it was made", "new price list")
    currency = answered(fields.String, "three letters", "USD")
    total = amount("with tax", "2278.65")
    complete = answered(fields.Boolean, "every part has a price", True)
    valid_until = day("last day on which it can be accepted")
    stated = fields.List(
        fields.String(),
        required=True,
        metadata={"description": "kinds of shortcoming that the document states"},
    )
    job_version = answered(fields.Integer, "version of the job", 1, nullable=True)
    snapshot_digest = answered(fields.String, "SHA-256 of the snapshot")
    created_at = moment("when it was made")
    by_person = answered_id("who made it", nullable=True)


class ShortcomingSchema(Schema):
    """Why a revision cannot be sent as it is."""

    kind = answered(fields.String, ", ".join(KINDS), "unpriced_part")
    message = answered(fields.String, "what", "L14-30 power inlet box has no price.")
    where = answered(fields.String, "JSON pointer into the result", "/price/lines/0")


class RevisionSchema(RevisionRowSchema):
    """A revision with what it rests on and what keeps it from being sent."""

    basis = fields.Dict(
        required=True,
        metadata={"description": "versions of program, tables, catalogues, own documents, job"},
    )
    shortcomings = fields.List(fields.Nested(ShortcomingSchema), required=True)


class EventSchema(Schema):
    """A change of a revision's state."""

    id = answered_id("identifier")
    revision = answered(fields.Integer, "number of the revision", 1)
    before = answered(fields.String, "state before; null for a new one", "draft", nullable=True)
    after = answered(fields.String, "state after", "sent")
    at = moment("when")
    by_person = answered_id("who", nullable=True)
    by_name = answered(fields.String, "who, in words", "customer, by link")
    link_id = answered_id("customer's link that was used", nullable=True)
    note = answered(fields.String, "why, or how it was told", "by telephone")


class EventListSchema(Schema):
    """What happened to a quote, in order."""

    rows = fields.List(fields.Nested(EventSchema), required=True)


def quote_told(row: QuoteRow, today: date) -> dict[str, Any]:
    """A quote for its schema, with the state that it has on a day."""
    told = {column.key: getattr(row, column.key) for column in row.__mapper__.column_attrs}
    return told | {"state": state_on(row.state, row.valid_until, today)}
