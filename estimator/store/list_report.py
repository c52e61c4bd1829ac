"""What a price list holds beside its items, as JSON text and back."""

import json
from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any

from estimator.catalogue.columns.mapping import ColumnMapping, MappedColumn
from estimator.catalogue.files.table import SheetLeftOut
from estimator.catalogue.records import Item, PassedOver, PriceList, UnreadRow
from estimator.finding import Fault
from estimator.store.item_rows import pairs
from estimator.store.tables.catalogues import CatalogueVersionRow

_Fields = dict[str, Any]


def report_text(read: PriceList) -> str:
    """The rows of a list that are no items, and what was concluded about it, as JSON."""
    report: dict[str, Any] = {
        name: [asdict(each) for each in getattr(read, name)] for name in _RECORDS
    }
    report |= {name: getattr(read, name) for name in _PLAIN}
    return json.dumps(report, ensure_ascii=False, separators=(",", ":"))


def price_list_of(version: CatalogueVersionRow, items: tuple[Item, ...]) -> PriceList:
    """The price list of a version with some of its items, or all of them."""
    report = json.loads(version.report)
    # A report of an earlier version of the program may know less.
    records = {
        name: tuple(record(each) for each in report.get(name, ()))
        for name, record in _RECORDS.items()
    }
    return PriceList(
        name=version.file_name,
        supplier=version.supplier,
        digest=version.digest,
        items=items,
        rows_read=version.rows_read,
        rows_rejected=version.rows_rejected,
        read_as=tuple(report.get("read_as", ())),
        rows_passed_over=report.get("rows_passed_over", 0),
        rows_blank=report.get("rows_blank", 0),
        **records,
    )


def _unread(fields: _Fields) -> UnreadRow:
    return UnreadRow(**(fields | {"known": pairs(fields["known"])}))


def _mapping(fields: _Fields) -> ColumnMapping:
    columns = tuple(
        MappedColumn(**(each | {"examples": tuple(each["examples"])})) for each in fields["columns"]
    )
    always = tuple((column, text) for column, text in fields["always"])
    return ColumnMapping(**(fields | {"columns": columns, "always": always}))


_RECORDS: Mapping[str, Callable[[_Fields], Any]] = {
    "rejected": lambda fields: Fault(**fields),
    "unread": _unread,
    "doubts": lambda fields: Fault(**fields),
    "passed_over": lambda fields: PassedOver(**fields),
    "mappings": _mapping,
    "left_out": lambda fields: SheetLeftOut(**fields),
}
_PLAIN = ("read_as", "rows_passed_over", "rows_blank")
