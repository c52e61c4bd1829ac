"""Lists of stored things: a page of them, narrowed down and sorted."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from typing import Any
from urllib.parse import urlencode

from flask import request
from marshmallow import Schema, fields, validate
from sqlalchemy import ColumnElement, or_
from sqlalchemy.orm import InstrumentedAttribute

from estimator.finding import Fault, InputRefused
from estimator.job.schema_fields import Text
from estimator.job.told import Told
from estimator.store.listing import Page, list_rows
from estimator.store.scope import Row
from estimator.web.api.field_kinds import Whole, WordYesNo
from estimator.web.api.operation import Ask, Reply

MOST_AT_ONCE = 200
_FURTHEST = 10_000_000
Columns = Mapping[str, InstrumentedAttribute[Any]]


class PageQuery(Told):
    """Which part of a list is wanted, in which order."""

    limit = Whole(
        load_default=50,
        validate=validate.Range(1, MOST_AT_ONCE),
        metadata={"description": "rows at once", "example": 50},
    )
    offset = Whole(
        load_default=0,
        validate=validate.Range(0, _FURTHEST),
        metadata={"description": "rows to pass over", "example": 0},
    )
    sort = Text(
        load_default="",
        validate=validate.Length(max=200),
        metadata={
            "description": "columns with commas between, the first counts most; "
            "a minus before one that goes down"
        },
    )


class ArchivedQuery(PageQuery):
    """Lists of things that can be put aside."""

    archived = WordYesNo(
        load_default=False, metadata={"description": "those that were put aside instead"}
    )
    search = Text(
        load_default="",
        validate=validate.Length(max=100),
        metadata={"description": "only those whose name has this in it", "example": "house"},
    )


@cache
def page_of(row: type[Schema]) -> type[Schema]:
    """The schema of a page of rows."""
    name = f"{row.__name__.removesuffix('Schema')}PageSchema"
    described = {
        "rows": fields.List(fields.Nested(row), required=True),
        "total": fields.Integer(
            required=True, metadata={"description": "rows of all pages", "example": 1}
        ),
        "limit": fields.Integer(required=True, metadata={"example": 50}),
        "offset": fields.Integer(required=True, metadata={"example": 0}),
    }
    made = type(name, (Schema,), {**described, "__doc__": "One page of a list."})
    assert issubclass(made, Schema)
    return made


def asked_page(ask: Ask, columns: Columns, usual: str) -> Page:
    """The page that was asked for. usual: how it is sorted where nothing is asked.

    Raises InputRefused for a column that is not one of them.
    """
    text = ask.query["sort"] or usual
    names = tuple(name.strip() for name in text.split(","))
    wrong = [name for name in names if name.removeprefix("-") not in columns]
    if wrong:
        message = f"cannot be sorted by {', '.join(wrong)}; sort by {', '.join(columns)}"
        raise InputRefused("request", (Fault("?sort", message),))
    return Page(ask.query["limit"], ask.query["offset"], names)


def list_page(
    ask: Ask,
    table: type[Row],
    columns: Columns,
    usual: str,
    *where: ColumnElement[bool],
    told: Callable[[Row], Any] | None = None,
) -> Reply:
    """A page of the organisation's rows. told: what is answered of one; the row itself."""
    page = asked_page(ask, columns, usual)
    found = list_rows(ask.session, ask.scope, table, page, *where, sortable=columns)
    rows = [told(row) if told else row for row in found.rows]
    return paged(rows, found.total, page)


def paged(rows: list[Any], total: int, page: Page) -> Reply:
    """A page as it is answered, with links to the ones beside it (RFC 8288)."""
    beside = {}
    if page.offset + page.limit < total:
        beside["next"] = replace(page, offset=page.offset + page.limit)
    if page.offset:
        beside["prev"] = replace(page, offset=max(0, page.offset - page.limit))
    links = [f'<{_address(each)}>; rel="{rel}"' for rel, each in beside.items()]
    document = {"rows": rows, "total": total, "limit": page.limit, "offset": page.offset}
    return Reply(document, headers={"Link": ", ".join(links)} if links else {})


def _address(page: Page) -> str:
    asked = request.args.to_dict() | {"limit": str(page.limit), "offset": str(page.offset)}
    return f"{request.path}?{urlencode(asked)}"


def named_like(search: str, *columns: InstrumentedAttribute[str]) -> Iterator[ColumnElement[bool]]:
    """The conditions that every word stands in one of the columns, whatever its letter case."""
    for word in search.split():
        yield or_(*(column.icontains(word, autoescape=True) for column in columns))


def put_aside(column: InstrumentedAttribute[Any], archived: bool) -> ColumnElement[bool]:
    """The condition that something was put aside, or was not."""
    return column.is_not(None) if archived else column.is_(None)
