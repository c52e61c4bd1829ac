"""The shape of a revision's snapshot."""

from marshmallow import Schema, fields

from estimator.web.api.field_kinds import Description
from estimator.web.api.result_schema import ResultSchema


class SnapshotSchema(Schema):
    """A revision, whole."""

    job = Description(required=True)
    result = fields.Nested(ResultSchema, required=True)
    basis = fields.Dict(required=True, metadata={"description": "versions that it rests on"})
    valid_until = fields.Date(required=True)
    stated = fields.List(fields.String(), required=True)
    asked = fields.Dict(required=True, metadata={"description": "what else was asked for"})
