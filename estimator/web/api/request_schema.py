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
    confirmed = fields.Nested(
        NamedTextSchema,
        metadata={
            "description": "what described items are, as CSV text with the columns supplier, "
            "item number, kind, attributes"
        },
    )
    supplier_terms = fields.Nested(
        NamedTextSchema,
        metadata={
            "description": "minimum orders and delivery fees, as CSV text with the columns "
            "supplier, minimum order, delivery fee, free delivery from, currency"
        },
    )
    labour_units = fields.Nested(
        NamedTextSchema, metadata={"description": "own labour units as CSV text"}
    )
    programmes = fields.List(
        fields.Nested(NamedTextSchema),
        metadata={"description": "own credit programmes as TOML text"},
    )
    programme_facts = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        metadata={
            "description": "facts that programmes or the credit on panel work ask for",
            "example": {"household_income": "64000"},
        },
    )
    year_table = fields.Boolean(
        metadata={"description": "add credits_by_year to the result; default false"}
    )
    on = fields.Date(metadata={"description": "compute as of this day; default today"})
