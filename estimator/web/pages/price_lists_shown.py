"""Kept price lists for the page: all of them, and the report on one version."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from sqlalchemy.orm import Session, defer

from estimator.catalogue.difference import ListDifference
from estimator.catalogue.out_of_line import out_of_line
from estimator.catalogue.records import PriceList, UnreadRow
from estimator.finding import Fault, Finding
from estimator.store.catalogue_lookup import whole_list
from estimator.store.catalogues import find_catalogue, versions_in_force
from estimator.store.list_report import price_list_of
from estimator.store.scope import Scope
from estimator.store.suppliers import find_supplier
from estimator.store.tables.catalogues import CatalogueRow, CatalogueVersionRow
from estimator.store.tables.suppliers import SupplierRow
from estimator.stored.price_lists import compare_versions

MOST_SHOWN = 200
# Holding one list against another needs all items of both at once.
MOST_COMPARED = 20_000
_CELL = re.compile(r"(?:sheet (?P<sheet>.*), )?row (?P<row>\d+)(?:, column (?P<column>.*))?")
_MESSAGE = re.compile(r"(?P<read>.*?)(?:\. (?=[A-Z])|; )(?P<remedy>.*)", re.DOTALL)
# Of a long list it is long.
_NO_REPORT = defer(CatalogueVersionRow.report)
_CORRECT = "Correct the cell and send the list again."


@dataclass(frozen=True, slots=True)
class KeptList:
    """A list in the overview. seen: counts changes of it. number: of the version in force, None
    for a list of which none is.
    """

    id: UUID
    seen: int
    name: str
    supplier: str
    archived: bool
    number: int | None
    since: date | None
    items: int
    rows: int
    unread: int
    rejected: int


@dataclass(frozen=True, slots=True)
class RowFault:
    """A cell that cannot be used: where it is, what was read, what to do."""

    sheet: str
    row: str
    column: str
    read: str
    remedy: str


@dataclass(frozen=True, slots=True)
class VersionLine:
    """A version of the list."""

    number: int
    file_name: str
    sent: datetime
    items: int
    in_force: bool


@dataclass(frozen=True, slots=True)
class ListReport:
    """What became of one file. faults, doubts, unread: at most MOST_SHOWN of each; the counts are
    of all. before: number of the version that it is held against. since: None when not in force.
    """

    name: str
    supplier: str
    number: int
    since: date | None
    read: PriceList
    items: int
    faults: tuple[RowFault, ...]
    doubts: tuple[RowFault, ...]
    unread: tuple[UnreadRow, ...]
    out_of_line: tuple[Finding, ...]
    too_long: bool
    before: int | None
    difference: ListDifference | None
    versions: tuple[VersionLine, ...]


def kept_lists(session: Session, scope: Scope) -> list[KeptList]:
    """All lists by supplier and name, those that were put aside among them."""
    suppliers = {row.id: row.name for row in session.scalars(scope.rows(SupplierRow))}
    versions: dict[UUID, list[CatalogueVersionRow]] = {}
    for version in session.scalars(scope.rows(CatalogueVersionRow).options(_NO_REPORT)):
        versions.setdefault(version.catalogue_id, []).append(version)
    found = [
        _kept(row, suppliers.get(row.supplier_id) if row.supplier_id else None, versions)
        for row in session.scalars(scope.rows(CatalogueRow))
    ]
    return sorted(found, key=lambda each: (each.supplier.casefold(), each.name.casefold()))


def unread_in_force(session: Session, scope: Scope) -> dict[UUID, tuple[UnreadRow, ...]]:
    """The rows that were not understood, by list, of the versions in force."""
    return {
        version.catalogue_id: price_list_of(version, ()).unread
        for version in versions_in_force(session, scope)
        if version.rows_unread
    }


def find_version_number(
    session: Session, scope: Scope, catalogue_id: UUID, number: int
) -> CatalogueVersionRow | None:
    """A version of a list by its number."""
    return session.scalars(
        scope.rows(CatalogueVersionRow).where(
            CatalogueVersionRow.catalogue_id == catalogue_id,
            CatalogueVersionRow.number == number,
        )
    ).first()


def report_on(session: Session, scope: Scope, version: CatalogueVersionRow) -> ListReport:
    """What became of the file of a version. Raises NotFound."""
    catalogue = find_catalogue(session, scope, version.catalogue_id)
    supplier = version.supplier
    if catalogue.supplier_id is not None:
        supplier = find_supplier(session, scope, catalogue.supplier_id).name
    all_of_it = list(
        session.scalars(
            scope.rows(CatalogueVersionRow)
            .where(CatalogueVersionRow.catalogue_id == catalogue.id)
            .options(_NO_REPORT)
            .order_by(CatalogueVersionRow.number.desc())
        )
    )
    earlier = next((each for each in all_of_it if each.number < version.number), None)
    too_long = max(version.items, earlier.items if earlier else 0) > MOST_COMPARED
    read = price_list_of(version, ())
    return ListReport(
        name=catalogue.name,
        supplier=supplier,
        number=version.number,
        since=_since(version, all_of_it),
        read=read,
        items=version.items,
        faults=tuple(map(_row_fault, read.rejected[:MOST_SHOWN])),
        doubts=tuple(map(_row_fault, read.doubts[:MOST_SHOWN])),
        unread=read.unread[:MOST_SHOWN],
        out_of_line=() if too_long else tuple(_out_of_line(session, scope, version)),
        too_long=too_long,
        before=earlier.number if earlier else None,
        difference=(
            None
            if too_long or earlier is None
            else compare_versions(session, scope, earlier.id, version.id)
        ),
        versions=tuple(
            VersionLine(
                each.number,
                each.file_name,
                each.imported_at,
                each.items,
                each.superseded_at is None,
            )
            for each in all_of_it
        ),
    )


def _kept(
    row: CatalogueRow, supplier: str | None, versions: dict[UUID, list[CatalogueVersionRow]]
) -> KeptList:
    own = versions.get(row.id, [])
    current = next((each for each in own if each.superseded_at is None), None)
    return KeptList(
        id=row.id,
        seen=row.version,
        name=row.name,
        supplier=supplier or (current.supplier if current else ""),
        archived=row.archived_at is not None,
        number=current.number if current else None,
        since=_since(current, own) if current else None,
        items=current.items if current else 0,
        rows=current.rows_read if current else 0,
        unread=current.rows_unread if current else 0,
        rejected=current.rows_rejected if current else 0,
    )


def _since(version: CatalogueVersionRow, versions: Sequence[CatalogueVersionRow]) -> date | None:
    """The day since which a version is in force: when it came, or the one before it left."""
    if version.superseded_at is not None:
        return None
    moments = [each.superseded_at for each in versions if each.superseded_at is not None]
    return max(version.imported_at, *moments).astimezone().date() if moments else (
        version.imported_at.astimezone().date()
    )  # fmt: skip


def _out_of_line(session: Session, scope: Scope, version: CatalogueVersionRow) -> Iterator[Finding]:
    whole = whole_list(session, scope, version.id)
    for currency in sorted(version.items_by_currency):
        yield from out_of_line([whole], currency)


def _row_fault(fault: Fault) -> RowFault:
    where = _CELL.fullmatch(fault.where)
    told = _MESSAGE.fullmatch(fault.message)
    read, remedy = (told["read"], told["remedy"]) if told else (fault.message, _CORRECT)
    if where is None:
        return RowFault("", fault.where, "", read, remedy)
    return RowFault(where["sheet"] or "", where["row"], where["column"] or "", read, remedy)
