"""What is asked and answered about documents of one's own."""

from marshmallow import Schema, fields, validate

from estimator.job.schema_fields import YesNo
from estimator.job.told import Told
from estimator.web.api.field_kinds import LongText, answered, answered_id, moment, name

_LONGEST = 1_000_000
EXAMPLE = {
    "name": "Our rates",
    "content": '{"terms": {"markup_percent": 25}, "labour": {"hourly_rate": "95.00"}}',
}


def _content() -> LongText:
    return LongText(
        required=True,
        validate=validate.Length(min=1, max=_LONGEST),
        metadata={
            "description": "CSV of a labour table, JSON of a rate sheet, TOML of a programme",
            "example": EXAMPLE["content"],
        },
    )


class OwnDocumentBody(Told):
    """A document with its first version."""

    name = name("what the office calls it", "Our rates")
    content = _content()


class OwnHeadBody(Told):
    """What stands around a document's versions."""

    name = name("what the office calls it", "Our rates")
    archived = YesNo(load_default=False, metadata={"description": "put aside", "example": False})


class OwnContentBody(Told):
    """The next version of a document."""

    content = _content()


class OwnDocumentSchema(Schema):
    """A document of one's own."""

    id = answered_id("identifier")
    name = answered(fields.String, "what the office calls it", "Our rates")
    kind = answered(fields.String, "labour_table, rate_sheet or programme", "rate_sheet")
    newest = answered(fields.Integer, "number of its newest version", 1)
    version = answered(fields.Integer, "counts changes; the ETag", 1)
    created_at = moment("when it was added")
    changed_at = moment("when it was last changed")
    archived_at = moment("since when it is put aside", nullable=True)


class OwnVersionRowSchema(Schema):
    """A version of a document, without its content."""

    number = answered(fields.Integer, "from 1", 1)
    digest = answered(fields.String, "SHA-256 of the content")
    created_at = moment("when it was saved")
    by_person = answered_id("who saved it", nullable=True)


class OwnVersionSchema(OwnVersionRowSchema):
    """A version of a document."""

    content = answered(fields.String, "its text", EXAMPLE["content"])
