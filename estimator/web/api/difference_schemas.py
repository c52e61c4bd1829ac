"""The shape of what a revision changes."""

from marshmallow import Schema, fields

from estimator.web.api.field_kinds import amount, answered


class FieldChangeSchema(Schema):
    """One field of a line."""

    name = answered(fields.String, "field", "unit_price")
    before = answered(fields.String, "before", "0.4100", nullable=True)
    after = answered(fields.String, "after", "0.4400", nullable=True)


class LineChangeSchema(Schema):
    """A line that is new, gone or another."""

    subject = answered(fields.String, "part, labour or finding", "part")
    what = answered(fields.String, "what it is", "10 AWG conductor, black")
    change = answered(fields.String, "added, removed or changed", "changed")
    fields_changed = fields.List(
        fields.Nested(FieldChangeSchema), required=True, data_key="fields", attribute="fields"
    )


class MoneyChangeSchema(Schema):
    """One total."""

    name = answered(fields.String, "which", "total")
    before = amount("before", "2278.65")
    after = amount("after", "2301.15")
    change = amount("after less before", "22.50")


class ReasonSchema(Schema):
    """Why."""

    cause = answered(fields.String, "what is another", "catalogue")
    text = answered(fields.String, "one sentence", "Catalogue 'North Counter' is version 2, "
                    "before 1.")  # fmt: skip


class RevisionDifferenceSchema(Schema):
    """What a revision changes against an older one."""

    before = answered(fields.Integer, "number of the older revision", 1)
    after = answered(fields.Integer, "number of the newer revision", 2)
    lines = fields.List(fields.Nested(LineChangeSchema), required=True)
    money = fields.List(fields.Nested(MoneyChangeSchema), required=True)
    reasons = fields.List(fields.Nested(ReasonSchema), required=True)
    currency_changed = answered(
        fields.Boolean, "amounts cannot be held against each other; none is", False
    )
