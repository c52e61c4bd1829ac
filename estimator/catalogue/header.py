"""The columns that a price list may have, and rows of small tables of text."""

import csv
import io
from collections.abc import Iterator
from typing import Literal

Column = Literal[
    "supplier",
    "item number",
    "description",
    "kind",
    "attributes",
    "price",
    "per",
    "pack",
    "pieces per pack",
    "currency",
    "list price",
    "multiplier",
    "discount",
    "sold by",
    "minimum order",
    "increment",
    "valid from",
    "valid until",
    "lead time",
    "status",
    "replaced by",
    "gtin",
    "covers",
    "class price 1",
    "class price 2",
    "class price 3",
    "class price 4",
    "class price 5",
    "break quantity 1",
    "break quantity 2",
    "break quantity 3",
    "break quantity 4",
    "break quantity 5",
    "break price 1",
    "break price 2",
    "break price 3",
    "break price 4",
    "break price 5",
]
CLASS_PRICES: tuple[Column, ...] = (
    "class price 1", "class price 2", "class price 3", "class price 4", "class price 5",
)  # fmt: skip
BREAK_QUANTITIES: tuple[Column, ...] = (
    "break quantity 1", "break quantity 2", "break quantity 3", "break quantity 4",
    "break quantity 5",
)  # fmt: skip
BREAK_PRICES: tuple[Column, ...] = (
    "break price 1", "break price 2", "break price 3", "break price 4", "break price 5",
)  # fmt: skip
REQUIRED: tuple[Column, ...] = ("item number", "kind", "attributes", "price", "per")
# Where there is no column of net prices, one of these gives the price.
PRICES: tuple[Column, ...] = ("price", "list price", *CLASS_PRICES, *BREAK_PRICES)
# A list that does not name our kinds has to describe its goods in words.
INSTEAD: tuple[Column, ...] = ("kind", "attributes")
DELIMITERS = (",", ";", "\t")


def rows_of(text: str, delimiter: str) -> Iterator[list[str]]:
    """Rows of delimited text as lists of cells. Blank lines come as empty lists."""
    return csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
