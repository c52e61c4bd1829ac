"""What a request for an estimate holds; the job's own schema is in job/schema.py."""

from marshmallow import Schema, fields, validate

from estimator.job.schema import JobSchema


class NamedTextSchema(Schema):
    """A text file with its name."""

    name = fields.String(
        required=True,
        validate=validate.Length(min=1, max=200),
        metadata={"description": "file name", "example": "north_counter.csv"},
    )
    text = fields.String(required=True, metadata={"description": "the whole file as text"})


class EstimateRequestSchema(Schema):
    """A job and the price lists to price it from. Nothing is stored."""

    job = fields.Nested(JobSchema, required=True)
    catalogue = fields.List(
        fields.Nested(NamedTextSchema),
        required=True,
        metadata={"description": "price lists as CSV text"},
    )
    labour_units = fields.Nested(
        NamedTextSchema, metadata={"description": "own labour units as CSV text"}
    )
    on = fields.Date(metadata={"description": "compute as of this day; default today"})
