"""The shape of an error: problem+json with the faults of outside input."""

from marshmallow import Schema, fields


class FaultSchema(Schema):
    """One thing wrong with the input."""

    where = fields.String(
        required=True, metadata={"description": "JSON pointer or row", "example": "/inlet"}
    )
    message = fields.String(required=True, metadata={"description": "what to do about it"})


class ProblemSchema(Schema):
    """What went wrong (RFC 9457)."""

    type = fields.String(required=True, metadata={"example": "about:blank"})
    title = fields.String(required=True, metadata={"example": "Unprocessable Entity"})
    status = fields.Integer(required=True, metadata={"example": 422})
    detail = fields.String(required=True)
    faults = fields.List(fields.Nested(FaultSchema))
