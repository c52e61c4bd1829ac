"""One row of a price list, read into an item or into the faults that keep it from being one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.catalogue import item_terms
from estimator.catalogue.attributes import AttributeReader
from estimator.catalogue.describe_row import Described, DescriptionReader
from estimator.catalogue.formula_text import formula_faults
from estimator.catalogue.header import Column
from estimator.catalogue.item_terms import NO_TERMS, read_item_terms
from estimator.catalogue.list_rules import ListRules
from estimator.catalogue.pack_content import PackOf
from estimator.catalogue.price_breaks import columns_of_breaks
from estimator.catalogue.price_terms import Money, PriceColumns, price_columns, read_money
from estimator.catalogue.records import Item, UnreadRow
from estimator.catalogue.row_faults import ColumnFault, RowFaults, located
from estimator.catalogue.row_goods import Goods, GoodsCells, GoodsReader
from estimator.catalogue.row_item import Offer, make_item
from estimator.catalogue.row_template import RowShape, RowTemplate, template_of
from estimator.catalogue.units_of_measure import read_unit
from estimator.finding import Fault
from estimator.record import quick

DEFAULT_CURRENCY = "USD"
MAX_CELL = 2000
_MOST_KEPT = 50_000
_Found = tuple[Goods | None, tuple[ColumnFault, ...], str]
_GOODS_COLUMNS: tuple[Column, ...] = (
    "kind", "attributes", "covers", "per", "sold by", "pack", "pieces per pack",
)  # fmt: skip


def no_pack(description: str) -> Decimal | None:
    """For lists whose descriptions are not read: no pack is named in them."""
    return None


@quick
@dataclass(frozen=True, slots=True)
class RowRead:
    """A row as read. identity: supplier and item number. item is None when there are faults.

    goods and price are None when a cell could not be read at all. unread: a row without
    faults whose description does not tell what is sold. doubts: cells that were left out of
    the item because they cannot be right.
    """

    row: int
    identity: tuple[str, str]
    goods: Goods | None
    price: Decimal | None
    item: Item | None
    faults: tuple[Fault, ...]
    unread: UnreadRow | None = None
    doubts: tuple[Fault, ...] = ()
    sheet: str = ""


@dataclass(slots=True)
class RowReader:
    """Reads the rows of one list.

    place: position of each column. width: cells in the head row. supplier: used where the
    row names none. rules: how the whole list is written. descriptions: reads what is sold
    when the list has no columns for it, None when it has. pack_of: reads the pack from a
    description where a package says nowhere else what it contains.
    Raises ValueError where only a person can say which column of prices counts.
    """

    place: Mapping[Column, int]
    width: int
    attributes: AttributeReader
    supplier: str
    rules: ListRules
    descriptions: DescriptionReader | None = None
    pack_of: PackOf = no_pack
    _columns: tuple[Column, ...] = field(init=False)
    _positions: tuple[int, ...] = field(init=False)
    _reach: int = field(init=False)
    _prices: PriceColumns = field(init=False)
    _reader: GoodsReader = field(init=False)
    _has_terms: bool = field(init=False)
    _has_breaks: bool = field(init=False)
    _goods: dict[tuple[str, ...], _Found] = field(init=False, default_factory=dict)
    _shape: RowShape | None = field(init=False)
    _templates: dict[object, RowTemplate] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self._prices = price_columns(self.place, self.rules)
        self._columns = tuple(self.place)
        self._positions = tuple(self.place.values())
        self._reach = max(self._positions) + 1
        self._reader = GoodsReader(self.attributes, self.rules, self.pack_of)
        self._has_terms = any(column in self.place for column in item_terms.COLUMNS)
        self._has_breaks = columns_of_breaks(self._columns)
        net = self._prices.net
        alike = self.descriptions is None and not self._has_breaks and self._prices.listed is None
        shape = RowShape(self.place, net) if alike and net is not None else None
        self._shape = None if shape is None or shape.shared is None else shape

    def read(self, row: int, cells: Sequence[str]) -> RowRead:
        """The row as an item, or every fault in it."""
        # A look at all cells together is quick, and lets nearly every row pass.
        if len(cells) > self.width or len("".join(cells)) > MAX_CELL:
            unreadable = self._unreadable(cells)
            if unreadable:
                return RowRead(row, ("", ""), None, None, None, (Fault(f"row {row}", unreadable),))
        shape = self._shape
        if shape is None or len(cells) < shape.reach:
            return self._read(row, cells)
        template = self._templates.get(shape.shared(cells))
        if template is not None:
            known = template.read(row, cells, shape)
            if known is not None:
                item, price = known
                return RowRead(row, (item.supplier, item.number), template.goods, price, item, ())
        read = self._read(row, cells)
        self._keep_template(read, cells, shape)
        return read

    def _keep_template(self, read: RowRead, cells: Sequence[str], shape: RowShape) -> None:
        """Remember what rows like this one share, unless its own cells told some of it."""
        if read.item is None or read.goods is None or read.doubts:
            return
        if "per" not in self.place or not cells[self.place["per"]].strip():
            return
        if read.goods.basis == "pack" or read.price != read.item.printed_price:
            return
        if len(self._templates) >= _MOST_KEPT:
            self._templates.clear()
        template = template_of(read.goods, read.item, self.rules.decimal_commas, shape)
        self._templates[shape.shared(cells)] = template

    def _read(self, row: int, cells: Sequence[str]) -> RowRead:
        cell = self._cells(cells)
        number = cell["item number"]
        identity = (cell.get("supplier") or self.supplier, number)
        description = cell.get("description", "")
        described: Described | None = None
        if self.descriptions is not None:
            described = self.descriptions.read(identity, description)
        faults: list[ColumnFault] = []
        currency = cell.get("currency", "").upper() or DEFAULT_CURRENCY
        money = self._money(cell, currency, faults)
        goods, wrong, why_not = self._what(cell, money, described, description)
        faults += wrong
        if goods is not None:
            faults += goods.faults
        _check_number(number, faults)
        faults += formula_faults(cell)
        terms = read_item_terms(cell, self.rules.day_first) if self._has_terms else NO_TERMS
        faults += terms.faults
        item = None
        if goods is not None and goods.basis is not None and money is not None and not faults:
            offer = Offer(row, identity, description, goods, goods.basis, money, terms, currency)
            try:
                item = make_item(offer, cell, self.rules, has_order_terms=self._has_breaks)
            except RowFaults as error:
                faults += error.faults
        price = None if money is None else money.net
        if faults:
            told = tuple([located(row, fault) for fault in faults])
            return RowRead(row, identity, goods, price, None, told)
        if described is not None and why_not:
            unread = UnreadRow(
                row, *identity, description, why_not, described.kind, described.attributes
            )
            return RowRead(row, identity, None, None, None, (), unread)
        doubts = tuple([located(row, doubt) for doubt in terms.doubts]) if terms.doubts else ()
        return RowRead(row, identity, goods, price, item, (), None, doubts)

    def _unreadable(self, cells: Sequence[str]) -> str:
        """Why the cells cannot be told apart; blank when they can."""
        if len(cells) > self.width and any(cell.strip() for cell in cells[self.width :]):
            return (
                f"has {len(cells)} cells but the head has {self.width}. "
                "Put a text that contains the delimiter in quotation marks"
            )
        longest = max(map(len, cells))
        if longest > MAX_CELL:
            return (
                f"a cell has {longest:,} characters; at most {MAX_CELL:,} can be read. "
                "Is a quotation mark left open?"
            )
        return ""

    def _cells(self, cells: Sequence[str]) -> dict[Column, str]:
        if len(cells) < self._reach:
            cells = [*cells, *[""] * (self._reach - len(cells))]
        return dict(zip(self._columns, [cells[at].strip() for at in self._positions], strict=True))

    def _money(
        self, cell: Mapping[Column, str], currency: str, faults: list[ColumnFault]
    ) -> Money | None:
        if not (len(currency) == 3 and currency.isascii() and currency.isalpha()):
            message = f"{currency!r} is not a currency code. Write three letters"
            faults.append(("currency", message))
            return None
        try:
            return read_money(cell, self._prices, currency, self.rules)
        except RowFaults as error:
            faults += error.faults
            return None

    def _what(
        self,
        cell: Mapping[Column, str],
        money: Money | None,
        described: Described | None,
        description: str,
    ) -> _Found:
        beside = "" if money is None else money.unit
        per = cell.get("per", "")
        if beside and per and self._differ(per, beside):
            message = f"is written per {beside}, but column per says {per}. Which one is right?"
            return None, (("price", message),), ""
        per = per or beside
        get = cell.get
        key = tuple([get(column, "") for column in _GOODS_COLUMNS])
        if described is None:
            known = self._goods.get((*key, per))
            if known is not None:
                return known
        cells = GoodsCells(key[0], key[1], key[2], per, key[4], key[5], key[6])
        found = self._reader.read(cells, described, description)
        if described is None and not _by_description(found):
            if len(self._goods) >= _MOST_KEPT:
                self._goods.clear()
            self._goods[(*key, per)] = found
        return found

    def _differ(self, per: str, beside: str) -> bool:
        try:
            return read_unit(per, self.rules.bare_m).meaning != (
                read_unit(beside, self.rules.bare_m).meaning
            )
        except ValueError:
            # The fault is told with the column it stands in.
            return False


def _by_description(found: _Found) -> bool:
    """Whether what was found may hang on the description, which is not part of the key."""
    goods = found[0]
    return goods is None or goods.basis == "pack"


def _check_number(number: str, faults: list[ColumnFault]) -> None:
    if not number:
        faults.append(("item number", "is blank; each item needs its number"))
    elif _is_shortened(number):
        message = (
            f"{number!r} was shortened by a spreadsheet. Format the column as text and export again"
        )
        faults.append(("item number", message))


def _is_shortened(number: str) -> bool:
    head, mark, tail = number.upper().partition("E+")
    return bool(mark) and tail.isdigit() and head.replace(".", "", 1).isdigit()
