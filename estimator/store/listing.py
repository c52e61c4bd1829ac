"""Pages of a list, sorted and narrowed down by columns that the caller allows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from sqlalchemy import ColumnElement, Select, func, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from estimator.finding import Fault, InputRefused
from estimator.store.scope import Row, Scope

MOST_ROWS = 1_000
Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class Listed(Generic[Found]):
    """One page. total: rows of all pages."""

    rows: Sequence[Found]
    total: int


@dataclass(frozen=True, slots=True)
class Page:
    """Which rows are wanted. sort: columns by name, "-" before one that goes down."""

    limit: int = 50
    offset: int = 0
    sort: tuple[str, ...] = ()


def list_rows(
    session: Session,
    scope: Scope,
    table: type[Row],
    page: Page,
    *where: ColumnElement[bool],
    sortable: Mapping[str, InstrumentedAttribute[Any]] | None = None,
) -> Listed[Row]:
    """The organisation's rows of a table that meet all conditions.

    sortable: columns by the name under which they may be asked for; those of the table where
    none are given. Rows alike in the columns of sort come in the order of their key. Raises
    InputRefused for a column that cannot be sorted by, and for a page that is too large.
    """
    order = order_of(table, page, sortable)
    statement = scope.rows(table).where(*where)
    total = session.scalar(counted(statement, scope))
    ordered = statement.order_by(*order)
    rows = session.scalars(ordered.limit(page.limit).offset(page.offset)).all()
    return Listed(rows, total or 0)


def counted(statement: Select[Any], scope: Scope) -> Select[int]:
    """How many rows a statement gives."""
    counted_rows = statement.order_by(None).subquery()
    return select(func.count()).select_from(counted_rows).execution_options(**scope.options)


def order_of(
    table: type[Row], page: Page, sortable: Mapping[str, InstrumentedAttribute[Any]] | None
) -> list[ColumnElement[Any]]:
    """What a page is sorted by. Raises InputRefused as ``list_rows``."""
    columns = table.__mapper__.columns
    known: Mapping[str, Any] = dict(columns) if sortable is None else sortable
    faults = [
        Fault("sort", f"{name[:40]!r} cannot be sorted by; use one of {', '.join(known)}")
        for name in page.sort
        if name.removeprefix("-") not in known
    ]
    if not (0 < page.limit <= MOST_ROWS and page.offset >= 0):
        faults.append(Fault("page", f"at most {MOST_ROWS} rows, from the first one on"))
    if faults:
        raise InputRefused("list", tuple(faults))
    order: list[ColumnElement[Any]] = [
        known[name.removeprefix("-")].desc() if name.startswith("-") else known[name].asc()
        for name in page.sort
    ]
    return [*order, *table.__mapper__.primary_key]
