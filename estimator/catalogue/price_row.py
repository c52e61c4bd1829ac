"""One row of a price list, read into an item or into the faults that keep it from being one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.catalogue.attributes import AttributeReader, UnknownKind
from estimator.catalogue.describe_row import Described, DescriptionReader, settle_pack
from estimator.catalogue.figures import read_pack, read_pieces, read_price
from estimator.catalogue.header import Column
from estimator.catalogue.records import Item, ReadFrom, UnreadRow
from estimator.catalogue.units_of_measure import (
    UNITS_PER_PRICE,
    Family,
    Meaning,
    family,
    price_basis,
    read_meaning,
)
from estimator.finding import Fault
from estimator.money import to_unit_price
from estimator.takeoff.part_kinds import PartKind
from estimator.takeoff.records import Attributes
from estimator.units import plain

DEFAULT_CURRENCY = "USD"
MAX_CELL = 2000
# Longer ones are bundles whose sticks were not counted.
LONGEST_STICK_FT = 20


@dataclass(frozen=True, slots=True)
class Offered:
    """What a row says is sold, whether or not it can be: rows of one item must agree on it."""

    kind: str
    attributes: Attributes
    family: Family
    price: Decimal
    meaning: Meaning
    pack: Decimal
    pieces: int
    currency: str
    read_from: ReadFrom = "columns"
    supposed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RowRead:
    """A row as read. identity: supplier and item number. item is None when there are faults.

    offered is None when a cell could not be read at all. unread: a row without faults whose
    description does not tell what is sold.
    """

    row: int
    identity: tuple[str, str]
    offered: Offered | None
    item: Item | None
    faults: tuple[Fault, ...]
    unread: UnreadRow | None = None


@dataclass(frozen=True, slots=True)
class RowReader:
    """Reads the rows of one list.

    place: position of each column. width: cells in the head row. supplier: used where the
    row names none. decimal_commas: see figures.read_price. descriptions: reads what is sold
    when the list has no columns for it, None when it has.
    """

    place: Mapping[Column, int]
    width: int
    attributes: AttributeReader
    supplier: str
    decimal_commas: bool
    descriptions: DescriptionReader | None = None

    def read(self, row: int, cells: Sequence[str]) -> RowRead:
        """The row as an item, or every fault in it."""
        faults: list[Fault] = []
        if len(cells) > self.width and any(cell.strip() for cell in cells[self.width :]):
            return self._unreadable(
                row,
                f"has {len(cells)} cells but the head has {self.width}. "
                "Put a text that contains the delimiter in quotation marks",
            )
        longest = max(map(len, cells))
        if longest > MAX_CELL:
            return self._unreadable(
                row,
                f"a cell has {longest:,} characters; at most {MAX_CELL:,} can be read. "
                "Is a quotation mark left open?",
            )
        cell = self._cells(cells)
        number = cell["item number"]
        identity = (cell["supplier"] or self.supplier, number)
        described = self._described(identity, cell["description"])
        offered, why_not = self._offered(row, cell, described, faults)
        if not number:
            faults.append(_fault(row, "item number", "is blank; each item needs its number"))
        elif _is_shortened(number):
            faults.append(
                _fault(
                    row,
                    "item number",
                    f"{number!r} was shortened by a spreadsheet. Format the column as text and "
                    "export again",
                )
            )
        item = None
        if offered is not None:
            item = self._item(row, identity, cell["description"], offered, faults)
        if described is not None and why_not and not faults:
            unread = UnreadRow(
                row, *identity, cell["description"], why_not, described.kind, described.attributes
            )
            return RowRead(row, identity, None, None, (), unread)
        return RowRead(row, identity, offered, None if faults else item, tuple(faults))

    def _described(self, identity: tuple[str, str], description: str) -> Described | None:
        if self.descriptions is None:
            return None
        return self.descriptions.read(identity, description)

    def _unreadable(self, row: int, message: str) -> RowRead:
        return RowRead(row, ("", ""), None, None, (Fault(f"row {row}", message),))

    def _cells(self, cells: Sequence[str]) -> dict[Column, str]:
        found: dict[Column, str] = {"supplier": "", "description": ""}
        for column, position in self.place.items():
            found[column] = cells[position].strip() if position < len(cells) else ""
        return found

    def _sold(
        self, row: int, cell: Mapping[Column, str], faults: list[Fault]
    ) -> tuple[str, Attributes]:
        kind = cell["kind"].casefold().replace(" ", "_")
        attributes: Attributes = ()
        try:
            attributes = self.attributes.read(kind, cell["attributes"])
        except UnknownKind as error:
            faults.append(_fault(row, "kind", str(error)))
        except ValueError as error:
            faults.append(_fault(row, "attributes", str(error)))
        return kind, attributes

    def _by_piece(self, described: Described, meaning: Meaning) -> bool:
        if described.kind is None or meaning != "each":
            return False
        return self.attributes.kinds[described.kind].unit == "ea"

    def _offered(
        self,
        row: int,
        cell: Mapping[Column, str],
        described: Described | None,
        faults: list[Fault],
    ) -> tuple[Offered | None, str]:
        """What is offered, None with faults or with the reason why it is not known."""
        before = len(faults)
        kind, attributes = self._sold(row, cell, faults) if described is None else ("", ())
        currency = cell.get("currency", "").upper() or DEFAULT_CURRENCY
        if not (len(currency) == 3 and currency.isascii() and currency.isalpha()):
            faults.append(
                _fault(row, "currency", f"{currency!r} is not a currency code. Write three letters")
            )
        price, pack, pieces = Decimal(0), Decimal(1), 1
        meaning: Meaning = "each"
        try:
            price = read_price(cell["price"], currency, self.decimal_commas)
        except ValueError as error:
            faults.append(_fault(row, "price", str(error)))
        try:
            meaning = read_meaning(cell["per"])
        except ValueError as error:
            faults.append(_fault(row, "per", str(error)))
        try:
            pack = read_pack(cell.get("pack", ""), self.decimal_commas)
        except ValueError as error:
            faults.append(_fault(row, "pack", str(error)))
        try:
            pieces = read_pieces(cell.get("pieces per pack", ""))
        except ValueError as error:
            faults.append(_fault(row, "pieces per pack", str(error)))
        if len(faults) > before:
            return None, ""
        read_from: ReadFrom = "columns"
        supposed: tuple[str, ...] = ()
        if described is not None:
            written = pack if cell.get("pack", "") else None
            pack, unsettled = settle_pack(described, written, self._by_piece(described, meaning))
            if described.why_not or described.kind is None or unsettled:
                return None, described.why_not or unsettled
            kind, attributes = described.kind, described.attributes
            read_from, supposed = described.read_from, described.supposed
        offered = Offered(
            kind,
            attributes,
            family(meaning),
            price,
            meaning,
            pack,
            pieces,
            currency,
            read_from,
            supposed,
        )
        return offered, ""

    def _item(
        self,
        row: int,
        identity: tuple[str, str],
        description: str,
        offered: Offered,
        faults: list[Fault],
    ) -> Item | None:
        kind = self.attributes.kinds[offered.kind]
        try:
            basis = price_basis(offered.meaning, kind.unit, offered.kind)
        except ValueError as error:
            faults.append(_fault(row, "per", str(error)))
            return None
        unit_price = to_unit_price(offered.price / UNITS_PER_PRICE[basis])
        if unit_price == 0:
            faults.append(
                _fault(
                    row, "price", "comes to less than 0.0001 for one. Check the price and its unit"
                )
            )
        wrong = _pieces_fault(offered, kind)
        if wrong:
            faults.append(_fault(row, "pieces per pack", wrong))
        return Item(
            supplier=identity[0],
            number=identity[1],
            description=description or kind.describe(offered.attributes),
            kind=offered.kind,
            attributes=offered.attributes,
            unit=kind.unit,
            pack=offered.pack,
            unit_price=unit_price,
            printed_price=offered.price,
            price_basis=basis,
            currency=offered.currency,
            row=row,
            pieces=offered.pieces,
            read_from=offered.read_from,
            supposed=offered.supposed,
        )


def _pieces_fault(offered: Offered, kind: PartKind) -> str:
    length = offered.pack / offered.pieces
    if kind.stick and length > LONGEST_STICK_FT:
        return (
            f"a pack of {plain(offered.pack)} ft in {offered.pieces} would be pieces longer than "
            f"{LONGEST_STICK_FT} ft, which {kind.name} is not sold in. Write how many sticks a "
            "pack has"
        )
    if offered.pieces == 1:
        return ""
    if kind.unit != "ft":
        return "is for goods by length only. Leave it blank"
    if length < 1 or offered.pack * 10_000 % offered.pieces:
        return (
            f"{offered.pieces} pieces in a pack of {plain(offered.pack)} ft are not whole pieces "
            "of a foot or more. Column pack is the feet in the whole pack"
        )
    return ""


def _is_shortened(number: str) -> bool:
    head, mark, tail = number.upper().partition("E+")
    return bool(mark) and tail.isdigit() and head.replace(".", "", 1).isdigit()


def _fault(row: int, column: Column, message: str) -> Fault:
    return Fault(f"row {row}, column {column}", message)
