"""Import a price list as a version of a catalogue: all of it or nothing, in one transaction."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from uuid import UUID

from sqlalchemy import func
from sqlalchemy.orm import Session

from estimator.catalogue.records import Item, PriceList
from estimator.finding import Fault, InputRefused
from estimator.store.audit import note
from estimator.store.catalogues import find_catalogue, put_in_force
from estimator.store.counters import next_number
from estimator.store.item_bulk import Progress, write_items
from estimator.store.item_rows import RowMaker
from estimator.store.list_report import report_text
from estimator.store.scope import Scope, add, flush
from estimator.store.tables.catalogues import CatalogueVersionRow

_ITEM_SETS = "item_sets"


@dataclass(frozen=True, slots=True)
class Heading:
    """What is known of a file before its rows are read.

    digest: SHA-256 of its bytes. reading: digest of what else decides how it is read (columns,
    confirmed matches), empty for nothing.
    """

    file_name: str
    digest: str
    reading: str = ""


@dataclass(frozen=True, slots=True)
class Imported:
    """A version, and whether it was there already, so that nothing was changed."""

    version: CatalogueVersionRow
    already: bool


def import_price_list(
    session: Session,
    scope: Scope,
    catalogue_id: UUID,
    read: PriceList,
    *,
    reading: str = "",
    progress: Progress | None = None,
) -> Imported:
    """Import a list that was read whole; see ``import_items``."""
    heading = Heading(read.name, read.digest, reading)
    return import_items(session, scope, catalogue_id, heading, read.items, lambda: read, progress)


def import_items(
    session: Session,
    scope: Scope,
    catalogue_id: UUID,
    heading: Heading,
    items: Iterable[Item],
    rest: Callable[[], PriceList],
    progress: Progress | None = None,
) -> Imported:
    """Import items as they come, as the new current version of a catalogue.

    rest: asked after the last item for what else the list holds (its items do not count). The
    same file, read in the same way, is recognised and changes nothing, whether or not it is
    the current version. progress: told how many items were taken; what it raises ends the
    import without a trace. Raises NotFound; InputRefused for a list without any item.
    """
    find_catalogue(session, scope, catalogue_id)
    known = find_imported(session, scope, catalogue_id, heading)
    if known is None:
        # Also keeps two imports apart: the second goes on when the first has ended.
        item_set = next_number(session, scope, _ITEM_SETS)
        known = find_imported(session, scope, catalogue_id, heading)
    if known is not None:
        return Imported(known, already=True)
    version = _begin(session, scope, catalogue_id, heading, item_set)
    tally = _Tally()
    maker = RowMaker(scope.organisation_id, item_set, session.get_bind().dialect.name == "sqlite")
    write_items(session, tally.count(items, maker), progress)
    if not tally.items:
        fault = Fault(heading.file_name, "has no item that can be used; nothing was imported")
        raise InputRefused("price list", (fault,))
    _end(version, tally, rest())
    flush(session)
    put_in_force(session, scope, version)
    note(session, scope, "imported", "catalogue version", version.id, items=version.items)
    return Imported(version, already=False)


def find_imported(
    session: Session, scope: Scope, catalogue_id: UUID, heading: Heading
) -> CatalogueVersionRow | None:
    """The version that was made of a file read in this way, if any."""
    return session.scalars(
        scope.rows(CatalogueVersionRow).where(
            CatalogueVersionRow.catalogue_id == catalogue_id,
            CatalogueVersionRow.digest == heading.digest,
            CatalogueVersionRow.reading == heading.reading,
        )
    ).first()


@dataclass(slots=True)
class _Tally:
    items: int = 0
    currencies: Counter[str] = field(default_factory=Counter)
    dated: bool = False

    def count(self, items: Iterable[Item], maker: RowMaker) -> Iterator[Sequence[object]]:
        for item in items:
            self.items += 1
            self.currencies[item.currency] += 1
            if item.discontinued or item.valid_from or item.valid_until:
                self.dated = True
            yield maker.row(self.items, item)


def _begin(
    session: Session, scope: Scope, catalogue_id: UUID, heading: Heading, item_set: int
) -> CatalogueVersionRow:
    newest = session.scalar(
        scope.rows(CatalogueVersionRow)
        .where(CatalogueVersionRow.catalogue_id == catalogue_id)
        .with_only_columns(func.max(CatalogueVersionRow.number))
    )
    version = CatalogueVersionRow(
        catalogue_id=catalogue_id,
        number=(newest or 0) + 1,
        item_set=item_set,
        file_name=heading.file_name,
        digest=heading.digest,
        reading=heading.reading,
        supplier="",
        items=0,
        rows_read=0,
        rows_rejected=0,
        rows_unread=0,
        items_by_currency={},
        dated=False,
        words_kept=False,
        report="",
        imported_at=scope.at,
        by_person=scope.person_id,
    )
    return add(session, scope, version)


def _end(version: CatalogueVersionRow, tally: _Tally, read: PriceList) -> None:
    version.supplier = read.supplier
    version.items = tally.items
    version.items_by_currency = dict(tally.currencies)
    version.dated = tally.dated
    version.words_kept = True
    version.rows_read = read.rows_read
    version.rows_rejected = read.rows_rejected
    version.rows_unread = len(read.unread)
    version.report = report_text(read)
