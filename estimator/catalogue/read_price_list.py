"""Reading a price list: a text or workbook with a head row, one item a row.

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

Further columns, and the spellings of each head, stand in lexicon/header_words.csv. Letter case of
attribute names and of kinds does not matter. What kind of file it is, its encoding, the sign
between its cells and the head row are found. Rows that are no items (titles, sums, repeats of the
head, blank ones) are counted as passed over.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial
from typing import BinaryIO

from estimator.catalogue.attributes import AttributeReader
from estimator.catalogue.columns.mapping import NOTHING_TOLD, ColumnMapping, Remembered, ToldMapping
from estimator.catalogue.columns.mapping_file import settings_of
from estimator.catalogue.columns.settle_columns import is_described
from estimator.catalogue.describe_row import Confirmed, DescriptionReader
from estimator.catalogue.files.limits import DEFAULT_LIMITS, ListLimits
from estimator.catalogue.files.open_list import OpenedList, open_list
from estimator.catalogue.files.refusal import refuse
from estimator.catalogue.files.table import SheetLeftOut
from estimator.catalogue.lexicon import load_lexicon
from estimator.catalogue.list_rules import NO_SETTINGS, ListRules, ListSettings
from estimator.catalogue.list_sheets import (
    KnownOfColumns,
    ListSheet,
    mapped_tables,
    sheets_with_items,
)
from estimator.catalogue.pack_of_description import PackReader
from estimator.catalogue.price_row import RowRead, RowReader
from estimator.catalogue.read_rows import RowsPassedOver, place_of, rows_of_sheet, survey_rows
from estimator.catalogue.reading_memo import READINGS
from estimator.catalogue.records import Item, PriceList, UnreadRow
from estimator.catalogue.repeat_watch import settle_repeats
from estimator.finding import Fault
from estimator.takeoff.part_kinds import PartKinds, load_part_kinds

_NOTHING_CONFIRMED: Confirmed = {}
_WIDEST = 1_000_000


@dataclass(frozen=True, slots=True)
class ColumnsKnown:
    """What is known of the columns of a list beside its file.

    told: what a person says of them. remembered: what was told of earlier lists, by supplier and
    head. supplier: whose list it is; blank: the name of the file.
    """

    told: ToldMapping = NOTHING_TOLD
    remembered: Remembered = field(default_factory=dict)
    supplier: str = ""


NOTHING_KNOWN = ColumnsKnown()


@dataclass(slots=True)
class ListReading:
    """A price list whose rows are about to be read.

    ``rows`` reads them one at a time, in memory that does not grow with the list. Those of a
    repeated item come when all of them were read, the others in their order. Once it has ended,
    ``passed`` has the rows that are no items.
    """

    name: str
    supplier: str
    digest: str
    rules: ListRules
    mappings: tuple[ColumnMapping, ...]
    left_out: tuple[SheetLeftOut, ...]
    _sheets: list[tuple[ListSheet, RowReader]]
    _repeated: dict[int, int]
    passed: RowsPassedOver = field(default_factory=RowsPassedOver)

    @property
    def read_as(self) -> tuple[str, ...]:
        """What was concluded about the whole list, as sentences."""
        told = [
            f"{_column(mapping, each.letter)} is read as {each.column}: {each.because}"
            for mapping in self.mappings
            for each in mapping.columns
            if each.grounds == "content"
        ]
        return (*told, *self.rules.stated)

    def rows(self) -> Iterator[RowRead]:
        """Every row that is an item, or that has to be reported."""
        self.passed = RowsPassedOver()
        return settle_repeats(self._each_sheet(), self._repeated)

    def _each_sheet(self) -> Iterator[RowRead]:
        for sheet, reader in self._sheets:
            yield from rows_of_sheet(sheet, reader, self.passed)


def read_price_list(
    data: bytes | BinaryIO,
    name: str,
    kinds: PartKinds,
    confirmed: Confirmed = _NOTHING_CONFIRMED,
    settings: ListSettings = NO_SETTINGS,
    columns: ColumnsKnown = NOTHING_KNOWN,
    limits: ListLimits = DEFAULT_LIMITS,
) -> PriceList:
    """The items of a price list, with a fault for every row that is not one.

    data: the bytes of the file, or a binary file that can be sought. name: its name, for messages
    and as the supplier's name. kinds: the kinds of part that items can be. confirmed: what persons
    said that described items are. settings: what a person said of the list as a whole. columns:
    what is known of its columns. Raises InputRefused when nothing of the file can be used: beyond
    the limits, empty, of a kind without tables, damaged, no head row, a quotation mark that never
    closes, or prices of which only a person can say what they are.
    """
    read = partial(_read, data, name, kinds, confirmed, settings, columns, limits)
    usual = not (confirmed or columns.remembered) and kinds is load_part_kinds()
    if not usual or not isinstance(data, bytes):
        return read()
    return READINGS.read(data, (name, settings, columns.told, columns.supplier, limits), read)


def _read(
    data: bytes | BinaryIO,
    name: str,
    kinds: PartKinds,
    confirmed: Confirmed,
    settings: ListSettings,
    columns: ColumnsKnown,
    limits: ListLimits,
) -> PriceList:
    reading = open_price_list(data, name, kinds, confirmed, settings, columns, limits)
    order = {mapping.sheet: at for at, mapping in enumerate(reading.mappings)}
    rows = sorted(reading.rows(), key=lambda row: (order[row.sheet], row.row))
    if not rows:
        sheet, _ = reading._sheets[0]
        raise refuse(reading.name, "there is no row below the head row", sheet.where)
    return _price_list(reading, rows)


def open_price_list(
    data: bytes | BinaryIO,
    name: str,
    kinds: PartKinds,
    confirmed: Confirmed = _NOTHING_CONFIRMED,
    settings: ListSettings = NO_SETTINGS,
    columns: ColumnsKnown = NOTHING_KNOWN,
    limits: ListLimits = DEFAULT_LIMITS,
) -> ListReading:
    """As read_price_list, with the rows yet to be read.

    A file has to stay open until they were. All that keeps a whole file from being read is found
    here, but for what stands in its text after a quotation mark that was left open.
    """
    name = _base(name)
    supplier = columns.supplier or _supplier_from(name)
    opened = open_list(data, name, limits)
    known = KnownOfColumns(frozenset(kinds), columns.told, columns.remembered, supplier)
    sheets, left_out = sheets_with_items(opened, name, known, limits)
    for told in {id(sheet.told): sheet.told for sheet in sheets}.values():
        settings = settings_of(told, settings)
    rules, repeated = survey_rows(sheets, supplier, settings, name, limits)
    readers = [(sheet, _reader(sheet, supplier, rules, kinds, confirmed, name)) for sheet in sheets]
    return ListReading(
        name=name,
        supplier=supplier,
        digest=opened.digest,
        rules=rules,
        mappings=tuple(sheet.mapping for sheet in sheets),
        left_out=tuple(left_out),
        _sheets=readers,
        _repeated=dict(repeated),
    )


def propose_mapping(
    data: bytes | BinaryIO,
    name: str,
    kinds: PartKinds,
    columns: ColumnsKnown = NOTHING_KNOWN,
    limits: ListLimits = DEFAULT_LIMITS,
) -> tuple[ColumnMapping, ...]:
    """What the columns of each sheet seem to hold, needed ones missing or not.

    Raises InputRefused when the file cannot be opened.
    """
    name = _base(name)
    opened: OpenedList = open_list(data, name, limits)
    supplier = columns.supplier or _supplier_from(name)
    known = KnownOfColumns(frozenset(kinds), columns.told, columns.remembered, supplier)
    return tuple(sheet.mapping for sheet in mapped_tables(opened, name, known, limits))


def _reader(
    sheet: ListSheet,
    supplier: str,
    rules: ListRules,
    kinds: PartKinds,
    confirmed: Confirmed,
    name: str,
) -> RowReader:
    place = place_of(sheet)
    described = is_described(place)
    # Cells of a sheet cannot slip to the right, as those of a text do at a stray delimiter.
    width = _WIDEST if sheet.sheet else len(sheet.mapping.columns) + len(sheet.mapping.always)
    if not sheet.sheet and sheet.head.row:
        width = len(sheet.head.cells) + len(sheet.mapping.always)
    try:
        return RowReader(
            place=place,
            width=width,
            attributes=AttributeReader(kinds),
            supplier=supplier,
            rules=rules,
            descriptions=(
                DescriptionReader(load_lexicon(), kinds, confirmed) if described else None
            ),
            pack_of=PackReader(kinds),
        )
    except ValueError as error:
        raise refuse(name, str(error), sheet.where) from None


def _price_list(reading: ListReading, rows: list[RowRead]) -> PriceList:
    items: list[Item] = []
    rejected: list[Fault] = []
    unread: list[UnreadRow] = []
    for row in rows:
        rejected += row.faults
        if row.item is not None:
            items.append(row.item)
        elif row.unread is not None:
            unread.append(row.unread)
    supplier = reading.supplier
    suppliers = {item.supplier for item in items} | {row.supplier for row in unread}
    if len(suppliers) == 1:
        (supplier,) = suppliers
    return PriceList(
        name=reading.name,
        supplier=supplier,
        digest=reading.digest,
        items=tuple(items),
        rows_read=len(rows),
        rejected=tuple(rejected),
        rows_rejected=len(rows) - len(items) - len(unread),
        unread=tuple(unread),
        doubts=tuple(doubt for row in rows for doubt in row.doubts),
        read_as=reading.read_as,
        passed_over=tuple(reading.passed.named),
        rows_passed_over=reading.passed.count,
        rows_blank=reading.passed.blank,
        mappings=reading.mappings,
        left_out=reading.left_out,
    )


def _column(mapping: ColumnMapping, letter: str) -> str:
    return f"Column {letter} of sheet {mapping.sheet}" if mapping.sheet else f"Column {letter}"


def _base(name: str) -> str:
    return name.replace("\\", "/").rstrip("/").rpartition("/")[2] or "price list"


def _supplier_from(name: str) -> str:
    stem, dot, _ = name.removesuffix(".gz").rpartition(".")
    return " ".join((stem if dot and stem else name).replace("_", " ").split()) or name
