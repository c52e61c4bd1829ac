"""A price list on its way in: kept as a file, looked at, read into the list that it renews."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.catalogue.list_sheets import ListSheet
from estimator.catalogue.read_price_list import NOTHING_KNOWN, ColumnsKnown, read_price_list
from estimator.finding import Fault, InputRefused
from estimator.store.catalogues import add_catalogue, change_catalogue
from estimator.store.files import add_file, find_file
from estimator.store.scope import Scope
from estimator.store.suppliers import supplier_of
from estimator.store.tables.catalogues import CatalogueRow, CatalogueVersionRow
from estimator.store.tables.suppliers import SupplierRow
from estimator.store.tables.work import StoredFileRow
from estimator.stored.price_lists import SentList, find_reading, import_list
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.tasks.import_price_list import ask_import
from estimator.web.pages.price_lists_asked import AskedColumns
from estimator.web.pages.price_lists_columns import (
    look_as_asked,
    look_at,
    supplier_of_sheets,
)

# A list of more bytes takes longer to read than anybody waits for a page.
LONG_BYTES = 300_000
_MEDIA = "application/octet-stream"
_LONGEST_NAME = 200
_MOST_REASONS = 5
_NOTHING = SentList("", b"")


@dataclass(frozen=True, slots=True)
class Looked:
    """A file that was looked at. asked: with supplier and name filled in where they were blank."""

    file: StoredFileRow
    sheets: list[ListSheet]
    asked: AskedColumns


@dataclass(frozen=True, slots=True)
class ReadIn:
    """Where a list went: the version that was made, or the task that makes it."""

    catalogue_id: UUID
    number: int | None
    already: bool
    task_id: UUID | None


def keep_sent(session: Session, scope: Scope, name: str, data: bytes) -> UUID:
    """Keep a file as it was sent. Raises InputRefused for one that is no price list."""
    name = "".join(letter for letter in name if letter.isprintable()).strip()[-_LONGEST_NAME:]
    if not name:
        raise InputRefused("file", (Fault("", "choose a price list first"),))
    if not data:
        raise InputRefused("file", (Fault("", f"{name} is empty"),))
    look_at(data, name, NOTHING_KNOWN)
    return add_file(session, scope, name, _MEDIA, data).id


def look(session: Session, scope: Scope, file_id: UUID, asked: AskedColumns) -> Looked:
    """What the columns of a kept file seem to hold, with what is remembered of its supplier.

    Raises NotFound, InputRefused.
    """
    file = find_file(session, scope, file_id)
    supplier = asked.supplier
    if not supplier:
        supplier = supplier_of_sheets(look_at(file.content, file.name, NOTHING_KNOWN), file.name)
    known = _known_of(session, scope, supplier)
    sheets, asked = look_as_asked(file.content, file.name, known, asked)
    name = asked.name or _name_of_list(session, scope, supplier)
    return Looked(file, sheets, replace(asked, supplier=supplier, name=name))


def read_in(session: Session, scope: Scope, looked: Looked, told: bytes | None) -> ReadIn:
    """Read a file into the list of its name, at once or as a task where it is long.

    Raises InputRefused for what keeps the whole file from being read.
    """
    catalogue_id = _list_for(session, scope, looked.asked)
    sent = SentList(looked.file.name, looked.file.content, told)
    if len(sent.data) > LONG_BYTES:
        task = ask_import(session, scope, catalogue_id, sent, _MEDIA, reprice=False)
        return ReadIn(catalogue_id, None, already=False, task_id=task.id)
    try:
        imported = import_list(session, scope, catalogue_id, sent)
    except InputRefused as refused:
        raise InputRefused(
            refused.what, (*refused.faults, *_why(session, scope, catalogue_id, sent))
        ) from None
    return ReadIn(catalogue_id, imported.version.number, imported.already, None)


def read_file_again(
    session: Session, scope: Scope, catalogue_id: UUID, version: CatalogueVersionRow
) -> ReadIn | None:
    """Read the file of a version as it is read now; None where the file is no longer kept."""
    file = session.scalars(
        scope.rows(StoredFileRow).where(StoredFileRow.digest == version.digest)
    ).first()
    if file is None:
        return None
    sent = SentList(file.name, file.content)
    if len(file.content) > LONG_BYTES:
        task = ask_import(session, scope, catalogue_id, sent, file.media_type, reprice=False)
        return ReadIn(catalogue_id, None, already=False, task_id=task.id)
    imported = import_list(session, scope, catalogue_id, sent)
    return ReadIn(catalogue_id, imported.version.number, imported.already, None)


def _why(session: Session, scope: Scope, catalogue_id: UUID, sent: SentList) -> Iterator[Fault]:
    """What is wrong with the first rows of a list of which none can be used."""
    reading = find_reading(session, scope, catalogue_id, sent)
    with suppress(InputRefused):  # the file as a whole, which was told already
        read = read_price_list(
            sent.data, sent.name, load_part_kinds(), reading.confirmed, columns=reading.columns
        )
        yield from read.rejected[:_MOST_REASONS]
        for row in read.unread[:_MOST_REASONS]:
            yield Fault(f"row {row.row}", f"{row.description!r}: {row.why}")


def _lists_of(session: Session, scope: Scope, supplier: str) -> list[CatalogueRow]:
    owner = session.scalars(
        scope.rows(SupplierRow).where(SupplierRow.name_key == supplier.casefold())
    ).first()
    if owner is None:
        return []
    rows = scope.rows(CatalogueRow).where(CatalogueRow.supplier_id == owner.id)
    return list(session.scalars(rows.order_by(CatalogueRow.name_key)))


def _known_of(session: Session, scope: Scope, supplier: str) -> ColumnsKnown:
    # Columns are remembered by supplier, so that any list of it tells them.
    lists = _lists_of(session, scope, supplier)
    if not lists:
        return ColumnsKnown(supplier=supplier)
    return find_reading(session, scope, lists[0].id, _NOTHING).columns


def _name_of_list(session: Session, scope: Scope, supplier: str) -> str:
    lists = _lists_of(session, scope, supplier)
    return lists[0].name if len(lists) == 1 else supplier


def _list_for(session: Session, scope: Scope, asked: AskedColumns) -> UUID:
    """The list of a name, made where there is none, in force again where it was put aside."""
    supplier = supplier_of(session, scope, asked.supplier)
    there = session.scalars(
        scope.rows(CatalogueRow).where(CatalogueRow.name_key == asked.name.casefold())
    ).first()
    if there is None:
        return add_catalogue(session, scope, asked.name, supplier.id).id
    if there.supplier_id not in (None, supplier.id):
        message = f"{there.name} is a list of another supplier; give this one another name"
        raise InputRefused("list", (Fault("name", message),))
    if there.archived_at is not None or there.supplier_id is None:
        change_catalogue(
            session, scope, there.id, None,
            name=there.name, supplier_id=supplier.id, archived=False,
        )  # fmt: skip
    return there.id
