"""Kinds of part: the vocabulary in which items are confirmed."""

from typing import Any

from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate

from estimator.job.schema_fields import Text
from estimator.store.listing import Page
from estimator.takeoff.part_kinds import PartKind, load_part_kinds
from estimator.web.api.field_kinds import answered
from estimator.web.api.listing import PageQuery, page_of, paged
from estimator.web.api.operation import Ask, Operation, Reply, operation

part_kinds = Blueprint(
    "part kinds",
    __name__,
    url_prefix="/api/v1/part-kinds",
    description="What parts there are and what has to be told of each",
)


class PartKindQuery(PageQuery):
    """Which kinds."""

    search = Text(
        load_default="",
        validate=validate.Length(max=100),
        metadata={"description": "words that name, description or attributes have",
                  "example": "strap"},
    )  # fmt: skip

    class Meta:
        exclude = ("sort",)


class PartKindSchema(Schema):
    """A kind of part."""

    name = answered(fields.String, "as kind in items and matches", "conductor")
    unit = answered(fields.String, "what is counted", "ft")
    attributes = fields.List(
        fields.String(),
        required=True,
        metadata={"description": "all that has to be told", "example": ["size", "colour"]},
    )
    description = answered(
        fields.String, "with attributes in braces", "{size} {insulation} {material} conductor"
    )


@operation(part_kinds, Operation("GET", "", page_of(PartKindSchema), query=PartKindQuery))
def list_part_kinds(ask: Ask) -> Reply:
    """List or find kinds of part, in the order of a parts list"""
    words = ask.query["search"].casefold().split()
    found = [_told(each) for each in load_part_kinds().values() if _has(each, words)]
    page = Page(ask.query["limit"], ask.query["offset"])
    return paged(found[page.offset : page.offset + page.limit], len(found), page)


def _has(kind: PartKind, words: list[str]) -> bool:
    text = " ".join((kind.name, kind.description, *kind.attributes)).casefold()
    return all(word in text for word in words)


def _told(kind: PartKind) -> dict[str, Any]:
    return {
        "name": kind.name,
        "unit": kind.unit,
        "attributes": list(kind.attributes),
        "description": kind.description,
    }
