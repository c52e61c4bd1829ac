"""Rows with any columns, read as a small invented price list."""

import csv
import io
from collections.abc import Mapping

from catalogue_factory import GOOD_ROW, WIRE_ROW

from estimator.catalogue.list_rules import NO_SETTINGS, ListSettings
from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.records import Item, PriceList
from estimator.takeoff.part_kinds import load_part_kinds

Row = Mapping[str, str]


def bushing(**cells: str) -> Row:
    """A good row of goods by the piece (12.50 per C in boxes of 100), some cells changed."""
    return {**GOOD_ROW, **{name.replace("_", " "): value for name, value in cells.items()}}


def wire(**cells: str) -> Row:
    """A good row of goods by length (0.55 a foot), some cells changed."""
    return {**WIRE_ROW, **{name.replace("_", " "): value for name, value in cells.items()}}


def without(row: Row, *columns: str) -> Row:
    """A row that lacks some columns."""
    return {name: value for name, value in row.items() if name not in columns}


def read_rows(*rows: Row, settings: ListSettings = NO_SETTINGS) -> PriceList:
    """A list whose head has the columns of all rows."""
    return read_price_list(as_bytes(*rows), "invented.csv", load_part_kinds(), settings=settings)


def as_bytes(*rows: Row) -> bytes:
    """The same as CSV."""
    text = io.StringIO()
    head = list(dict.fromkeys(name for row in rows for name in row))
    writer = csv.DictWriter(text, head, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode()


def only_item(*rows: Row, settings: ListSettings = NO_SETTINGS) -> Item:
    """The one item of a list without faults."""
    price_list = read_rows(*rows, settings=settings)
    assert price_list.rejected == ()
    assert price_list.unread == ()
    (item,) = price_list.items
    return item


def fault(*rows: Row, settings: ListSettings = NO_SETTINGS) -> str:
    """The one fault of a list, with its place."""
    (found,) = read_rows(*rows, settings=settings).rejected
    return f"{found.where}: {found.message}"
