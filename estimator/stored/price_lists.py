"""Price lists as they are sent: read with what is known of their supplier, kept as a version."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.catalogue.columns.mapping import (
    NOTHING_TOLD,
    ColumnMapping,
    MappedColumn,
    ToldMapping,
)
from estimator.catalogue.columns.mapping_file import read_mapping
from estimator.catalogue.columns.remembered import recall, remember
from estimator.catalogue.describe_row import Confirmed
from estimator.catalogue.difference import ListDifference, difference
from estimator.catalogue.out_of_line import out_of_line
from estimator.catalogue.read_price_list import ColumnsKnown, propose_mapping, read_price_list
from estimator.catalogue.records import PriceList
from estimator.finding import Finding
from estimator.store.catalogue_import import Imported, import_price_list
from estimator.store.catalogue_lookup import whole_list
from estimator.store.catalogues import find_catalogue
from estimator.store.confirmed_matches import all_confirmed
from estimator.store.item_bulk import Progress
from estimator.store.scope import Scope
from estimator.store.suppliers import find_supplier, keep_mapping
from estimator.store.tables.catalogues import CatalogueVersionRow
from estimator.store.tables.suppliers import ColumnMappingRow, SupplierRow
from estimator.takeoff.part_kinds import load_part_kinds

_TOLD = "mapping"


@dataclass(frozen=True, slots=True)
class SentList:
    """A price list as it was sent. told: what its columns hold (CSV or JSON), None for nothing."""

    name: str
    data: bytes
    told: bytes | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """How the lists of a catalogue are read. digest: of all of it, empty for nothing known."""

    supplier: SupplierRow | None
    columns: ColumnsKnown
    confirmed: Confirmed
    digest: str


def import_list(
    session: Session,
    scope: Scope,
    catalogue_id: UUID,
    sent: SentList,
    progress: Progress | None = None,
) -> Imported:
    """Keep a price list as the catalogue's version in force, all of it or nothing.

    What was told of its columns is remembered for the next list of the supplier with the same
    head. The same file read in the same way changes nothing. Raises NotFound, InputRefused.
    """
    reading = find_reading(session, scope, catalogue_id, sent)
    read = read_price_list(
        sent.data, sent.name, load_part_kinds(), reading.confirmed, columns=reading.columns
    )
    imported = import_price_list(
        session, scope, catalogue_id, read, reading=reading.digest, progress=progress
    )
    if sent.told is not None and reading.supplier is not None:
        _remember(session, scope, reading, read, sent.told)
    return imported


def propose_columns(
    session: Session, scope: Scope, catalogue_id: UUID, sent: SentList
) -> tuple[ColumnMapping, ...]:
    """What the columns of a list seem to hold, to be corrected; keeps nothing."""
    reading = find_reading(session, scope, catalogue_id, sent)
    return propose_mapping(sent.data, sent.name, load_part_kinds(), reading.columns)


def compare_versions(session: Session, scope: Scope, old: UUID, new: UUID) -> ListDifference:
    """What one version of a catalogue changes against another. Raises NotFound."""
    return difference(whole_list(session, scope, old), whole_list(session, scope, new))


def doubtful_prices(
    session: Session, scope: Scope, version: CatalogueVersionRow
) -> tuple[Finding, ...]:
    """Prices of a version that are out of line with those of goods like them, by currency.

    Looked for in the whole list: an estimate loads only the items that it can use.
    """
    whole = whole_list(session, scope, version.id)
    return tuple(
        finding
        for currency in sorted(version.items_by_currency)
        for finding in out_of_line([whole], currency)
    )


def find_reading(session: Session, scope: Scope, catalogue_id: UUID, sent: SentList) -> Reading:
    """How a list of a catalogue is read. Raises NotFound; InputRefused for what was told."""
    catalogue = find_catalogue(session, scope, catalogue_id)
    told = NOTHING_TOLD if sent.told is None else read_mapping(sent.told, "mapping")
    supplier = (
        None
        if catalogue.supplier_id is None
        else find_supplier(session, scope, catalogue.supplier_id)
    )
    texts = {} if supplier is None else _remembered_texts(session, scope, supplier)
    name = "" if supplier is None else supplier.name
    remembered: dict[tuple[str, str], ToldMapping] = {}
    for head, text in texts.items():
        earlier = read_mapping(text.encode(), "remembered mapping")
        remembered |= remember({}, name, earlier, [_headed(head)])
    confirmed = all_confirmed(session, scope)
    return Reading(
        supplier,
        ColumnsKnown(told, remembered, name),
        confirmed,
        _digest(name, sent.told, texts, confirmed),
    )


def _headed(key: str) -> ColumnMapping:
    """A mapping of which only the heads count, by which it is remembered."""
    columns = tuple(
        MappedColumn(at, head, None, "none", "", 0) for at, head in enumerate(key.split("|"))
    )
    return ColumnMapping("", 1, columns)


def _remembered_texts(session: Session, scope: Scope, supplier: SupplierRow) -> Mapping[str, str]:
    rows = session.scalars(
        scope.rows(ColumnMappingRow).where(ColumnMappingRow.supplier_id == supplier.id)
    )
    return {row.mapping["head"]: row.mapping[_TOLD] for row in rows}


def _remember(
    session: Session, scope: Scope, reading: Reading, read: PriceList, told: bytes
) -> None:
    assert reading.supplier is not None
    text = told.decode("utf-8-sig")
    for each in read.mappings:
        known = recall(reading.columns.remembered, reading.supplier.name, each.key)
        if known == reading.columns.told:
            continue
        digest = hashlib.sha256(each.key.encode()).hexdigest()
        mapping = {"head": each.key, _TOLD: text}
        keep_mapping(session, scope, reading.supplier.id, digest, mapping)


def _digest(
    supplier: str, told: bytes | None, remembered: Mapping[str, str], confirmed: Confirmed
) -> str:
    """Of what decides how the same bytes are read. Whether told now or before is the same."""
    texts = sorted({*remembered.values(), *((told.decode("utf-8-sig"),) if told else ())})
    said = sorted(
        (owner, number, kind, attributes)
        for (owner, number), (kind, attributes) in confirmed.items()
    )
    if not (supplier or texts or said):
        return ""
    content = json.dumps([supplier, texts, said], ensure_ascii=False)
    return hashlib.sha256(content.encode()).hexdigest()
