"""What is asked and answered about versions of catalogues."""

from marshmallow import Schema, fields, validate

from estimator.job.told import Told
from estimator.web.api.catalogue_check import (
    CheckFindingSchema,
    LeftOutSchema,
    MappingLineSchema,
    PassedOverSchema,
    UnreadListRowSchema,
)
from estimator.web.api.field_kinds import Whole, answered, answered_id, moment
from estimator.web.api.result_schema import RejectedRowSchema


class DifferenceQuery(Told):
    """Against which version."""

    against = Whole(
        load_default=None,
        validate=validate.Range(1, 999_999_999),
        metadata={"description": "number of the older version; default the one before"},
    )


class ColumnsSchema(Schema):
    """What the columns of a price list are taken for."""

    column_mapping = fields.List(fields.Nested(MappingLineSchema), required=True)


class VersionRowSchema(Schema):
    """A version of a catalogue."""

    id = answered_id("identifier, by which quotes name it")
    number = answered(fields.Integer, "from 1", 1)
    file_name = answered(fields.String, "as it was sent", "north_counter.csv")
    supplier = answered(fields.String, "whose prices they are", "North Counter (invented)")
    digest = answered(fields.String, "SHA-256 of the file")
    items = answered(fields.Integer, "rows that are items", 120)
    rows_read = answered(fields.Integer, "rows below the head", 124)
    rows_rejected = answered(fields.Integer, "rows with a fault", 1)
    rows_unread = answered(fields.Integer, "rows that were not understood", 3)
    items_by_currency = fields.Dict(
        keys=fields.String(),
        values=fields.Integer(),
        required=True,
        metadata={"description": "items by currency", "example": {"USD": 120}},
    )
    dated = answered(fields.Boolean, "some prices hold on some days only", False)
    imported_at = moment("when it was imported")
    by_person = answered_id("who sent it", nullable=True)
    superseded_at = moment("since when another version is in force; null: in force", nullable=True)


class UnreadItemSchema(UnreadListRowSchema):
    """A row whose description does not tell for sure what is sold."""

    supplier = answered(fields.String, "whose it is", "North Counter (invented)")
    kind = answered(fields.String, "kind of part, where that much is known", nullable=True)
    known = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        required=True,
        metadata={"description": "attributes that are known", "example": {"size": "10 AWG"}},
    )


class VersionSchema(VersionRowSchema):
    """A version with every row that is no item."""

    already = answered(fields.Boolean, "was there before this request", False)
    rejected = fields.List(
        fields.Nested(RejectedRowSchema), required=True, metadata={"description": "with a fault"}
    )
    unread = fields.List(
        fields.Nested(UnreadItemSchema),
        required=True,
        metadata={"description": "not understood; confirm what they are, or price them by hand"},
    )
    doubts = fields.List(
        fields.Nested(RejectedRowSchema),
        required=True,
        metadata={"description": "cells left out of items that are used all the same"},
    )
    passed_over = fields.List(
        fields.Nested(PassedOverSchema),
        required=True,
        metadata={"description": "rows such as titles and sums"},
    )
    rows_passed_over = answered(fields.Integer, "how many there are", 2)
    rows_blank = answered(fields.Integer, "rows without anything", 1)
    sheets_left_out = fields.List(fields.Nested(LeftOutSchema), required=True)
    read_as = fields.List(
        fields.String(),
        required=True,
        metadata={"description": "what was concluded about the whole list"},
    )
    column_mapping = fields.List(fields.Nested(MappingLineSchema), required=True)


class ComparedListSchema(Schema):
    """One of two lists."""

    name = answered(fields.String, "name of the file", "north_counter.csv")
    supplier = answered(fields.String, "whose prices they are", "North Counter (invented)")
    sha256 = answered(fields.String, "digest of the file")
    items = answered(fields.Integer, "items", 120)
    rows_not_compared = answered(fields.Integer, "rows that are no items", 4)


class DifferenceCountsSchema(Schema):
    """How much differs."""

    new = fields.Integer(required=True)
    gone = fields.Integer(required=True)
    changed = fields.Integer(required=True)
    price_up = fields.Integer(required=True)
    price_down = fields.Integer(required=True)
    unchanged = fields.Integer(required=True)


class ComparedItemSchema(Schema):
    """An item of one list."""

    supplier = answered(fields.String, "whose it is", "North Counter (invented)")
    item_number = answered(fields.String, "supplier's number", "NC-0059")
    row = answered(fields.Integer, "row of its file", 60)
    description = answered(fields.String, "as in the list", "10 AWG THHN stranded, black")
    unit = answered(fields.String, "what is counted", "ft")
    unit_price = answered(fields.String, "of one unit, four places", "0.4100")
    pack = answered(fields.String, "units sold at once", "1")
    currency = answered(fields.String, "three letters", "USD")


class AspectChangeSchema(Schema):
    """One aspect that changed."""

    aspect = answered(fields.String, "what", "price")
    before = answered(fields.String, "before", "0.4100")
    after = answered(fields.String, "after", "0.4400")


class ChangedItemSchema(ComparedItemSchema):
    """An item of both lists that changed."""

    unit_price_before = answered(fields.String, "of one unit before", "0.3900")
    amount = answered(fields.String, "after less before", "0.0200", nullable=True)
    percent = answered(fields.String, "of the price before", "5.1", nullable=True)
    changes = fields.List(fields.Nested(AspectChangeSchema), required=True)


class ListDifferenceSchema(Schema):
    """What a newer list changes."""

    old = fields.Nested(ComparedListSchema, required=True)
    new = fields.Nested(ComparedListSchema, required=True)
    same_file = answered(fields.Boolean, "both are the same bytes", False)
    counts = fields.Nested(DifferenceCountsSchema, required=True)
    biggest_movers = fields.List(
        fields.String(), required=True, metadata={"description": "item numbers"}
    )
    new_items = fields.List(fields.Nested(ComparedItemSchema), required=True)
    gone_items = fields.List(fields.Nested(ComparedItemSchema), required=True)
    changed_items = fields.List(fields.Nested(ChangedItemSchema), required=True)


class ListFindingsSchema(Schema):
    """What a price list has to tell."""

    rows = fields.List(fields.Nested(CheckFindingSchema), required=True)
