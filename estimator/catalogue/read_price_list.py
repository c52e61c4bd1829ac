"""Reading a price list: CSV text with a head row, one item a row.

Columns, in any order, in upper or lower case; other columns are passed over:

item number      required. The supplier's number; text, kept as it stands
kind             required. A kind of part, such as conductor (estimator/takeoff/part_kinds.toml)
attributes       required. All attributes of the kind: "size=10 AWG; material=cu; ..."
price            required. Above zero; a currency sign and thousands separators are read
per              required. What the price is for: EA, C, M, FT, CFT, MFT, the words each,
                 hundred, thousand, foot, or a UN/ECE Recommendation 20 code
                 (lexicon/units_of_measure.csv). C and M of goods by length are feet
pack             units sold at once: 100 for a box of 100, 500 for a 500 ft reel, 10 for a
                 10 ft stick. Blank is 1: singly, or cut to any whole number of feet
pieces per pack  goods by length sold as several equal pieces: 10 for ten sticks (pack 100)
supplier         blank: the name of the file
description      blank: the kind's own description. A list without the columns kind and
                 attributes must have it: what is sold is then read from it (see
                 read_description.py), and rows whose description does not tell it for sure
                 are kept apart
currency         three letters. Blank: USD

Further spellings of each head stand in header.SPELLINGS. Letter case of attribute names and
of kinds does not matter. The comma, semicolon or tab and the head row are found; title lines
may stand above it. Blank rows, and repeats of the head row, are passed over.
"""

import csv
from collections.abc import Iterator, Sequence
from hashlib import sha256

from estimator.catalogue.attributes import AttributeReader
from estimator.catalogue.decode import decode, refuse
from estimator.catalogue.describe_row import Confirmed, DescriptionReader
from estimator.catalogue.figures import shows_decimal_comma, shows_decimal_point
from estimator.catalogue.header import Header, find_header, rows_of
from estimator.catalogue.lexicon import load_lexicon
from estimator.catalogue.price_row import RowRead, RowReader
from estimator.catalogue.records import Item, PriceList
from estimator.catalogue.repeats import repeat_faults
from estimator.finding import Fault
from estimator.takeoff.part_kinds import PartKinds

MAX_ROWS = 200_000
_NOTHING_CONFIRMED: Confirmed = {}


def read_price_list(
    data: bytes, name: str, kinds: PartKinds, confirmed: Confirmed = _NOTHING_CONFIRMED
) -> PriceList:
    """The items of a price list, with a fault for every row that is not one.

    data: the bytes of the file. name: its name, for messages and as the supplier's name.
    kinds: the kinds of part that items can be. confirmed: what persons said that described
    items are.
    Raises InputRefused when nothing of the file can be used: more than 20 MiB, 200,000 rows
    or 60 columns, empty, not text, no head row, a quotation mark that never closes.
    """
    name = _base(name)
    text = decode(data, name)
    header = find_header(text, name)
    reader = RowReader(
        place=header.place,
        width=len(header.cells),
        attributes=AttributeReader(kinds),
        supplier=_supplier_from(name),
        decimal_commas=_decimal_commas(text, header, name),
        descriptions=(
            DescriptionReader(load_lexicon(), kinds, confirmed) if header.described else None
        ),
    )
    rows = [reader.read(number, cells) for number, cells in _item_rows(text, header, name)]
    if not rows:
        raise refuse(name, "there is no row below the head row", f"row {header.row}")
    return _price_list(name, data, reader.supplier, rows)


def _price_list(name: str, data: bytes, supplier: str, rows: Sequence[RowRead]) -> PriceList:
    repeats = repeat_faults(rows)
    items: list[Item] = []
    rejected: list[Fault] = []
    unread = tuple(row.unread for row in rows if row.unread is not None)
    for row in rows:
        repeat = repeats.get(row.row)
        if row.item is not None and repeat is None:
            items.append(row.item)
            continue
        rejected += row.faults
        if repeat is not None:
            rejected.append(repeat)
    suppliers = {item.supplier for item in items} | {row.supplier for row in unread}
    if len(suppliers) == 1:
        (supplier,) = suppliers
    return PriceList(
        name=name,
        supplier=supplier,
        digest=sha256(data).hexdigest(),
        items=tuple(items),
        rows_read=len(rows),
        rejected=tuple(rejected),
        rows_rejected=len(rows) - len(items) - len(unread),
        unread=unread,
    )


def _item_rows(text: str, header: Header, name: str) -> Iterator[tuple[int, list[str]]]:
    head = [cell.strip() for cell in header.cells]
    for number, cells in _numbered(text, header, name):
        if not any(cell.strip() for cell in cells):
            continue
        # Printed lists repeat the head on every page.
        if cells[0].strip() == head[0] and [cell.strip() for cell in cells] == head:
            continue
        yield number, cells


def _numbered(text: str, header: Header, name: str) -> Iterator[tuple[int, list[str]]]:
    rows = rows_of(text, header.delimiter)
    number = 0
    while True:
        number += 1
        try:
            cells = next(rows, None)
        except csv.Error:
            raise refuse(
                name,
                "a cell has more than 100,000 characters. Is a quotation mark left open?",
                f"row {number}",
            ) from None
        if cells is None:
            return
        if number > MAX_ROWS + header.row:
            raise refuse(name, f"more than {MAX_ROWS:,} rows; split the list", f"row {number}")
        if number > header.row:
            yield number, cells


def _decimal_commas(text: str, header: Header, name: str) -> bool:
    """Whether the list's prices have, or may well have, a comma before the decimals."""
    position = header.place["price"]
    points = False
    for _, cells in _numbered(text, header, name):
        if position < len(cells):
            if shows_decimal_comma(cells[position]):
                return True
            points = points or shows_decimal_point(cells[position])
    return header.delimiter == ";" and not points


def _base(name: str) -> str:
    return name.replace("\\", "/").rstrip("/").rpartition("/")[2] or "price list"


def _supplier_from(name: str) -> str:
    stem, dot, _ = name.rpartition(".")
    return " ".join((stem if dot and stem else name).replace("_", " ").split()) or name
