"""What a row sells and how it is put up: kind, attributes, unit, pack and pieces."""

from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

from estimator.catalogue.attributes import AttributeReader, UnknownKind
from estimator.catalogue.describe_row import Described, settle_pack
from estimator.catalogue.figures import read_pieces
from estimator.catalogue.kits import KIT, read_covers
from estimator.catalogue.list_rules import ListRules
from estimator.catalogue.pack_content import (
    PackCell,
    PackOf,
    PutUp,
    each_of,
    metric_note,
    pack_content,
    pieces_fault,
    read_pack_cell,
    whole_steps,
)
from estimator.catalogue.records import Covered, PriceBasis, ReadFrom
from estimator.catalogue.row_faults import ColumnFault, RowFaults
from estimator.catalogue.units_of_measure import (
    Family,
    Meaning,
    UnitOfMeasure,
    family,
    price_basis,
    read_unit,
)
from estimator.record import quick
from estimator.takeoff.records import Attributes, Unit


@dataclass(frozen=True, slots=True)
class GoodsCells:
    """The cells that tell what is sold; per: or, where it is blank, the unit beside the price."""

    kind: str
    attributes: str
    covers: str
    per: str
    sold_by: str
    pack: str
    pieces: str


@quick
@dataclass(frozen=True, slots=True)
class Goods:
    """What a row says is sold, whether or not it can be: rows of one item must agree on it.

    label: what the kind is called with these attributes. basis is None when the unit does not
    fit the goods. pack: units that are sold at once, at most four decimals; content: the same
    exactly. each: units in one that the row counts, such as a metre. faults: what keeps the
    row from being an item.
    """

    kind: str
    attributes: Attributes
    unit: Unit
    label: str
    family: Family
    meaning: Meaning
    basis: PriceBasis | None
    pack: Decimal
    content: Fraction
    each: Fraction
    pieces: int
    covers: tuple[Covered, ...] = ()
    read_from: ReadFrom = "columns"
    supposed: tuple[str, ...] = ()
    faults: tuple[ColumnFault, ...] = ()

    @property
    def by_foot(self) -> bool:
        """Sold in whole feet, cut to length."""
        return self.unit == "ft" and self.pack == 1


@dataclass(frozen=True, slots=True)
class _What:
    kind: str
    attributes: Attributes
    covers: tuple[Covered, ...]
    read_from: ReadFrom = "columns"
    supposed: tuple[str, ...] = ()


@dataclass(slots=True)
class GoodsReader:
    """Reads what the rows of one list sell."""

    attributes: AttributeReader
    rules: ListRules
    pack_of: PackOf
    _faults: list[ColumnFault] = field(default_factory=list)

    def read(
        self, cells: GoodsCells, described: Described | None, description: str
    ) -> tuple[Goods | None, tuple[ColumnFault, ...], str]:
        """What is sold, None with the faults or with the reason why it is not known.

        described: what the description says of it, in a list without columns for it.
        """
        self._faults = []
        what = self._what(cells, described)
        unit, pieces, pack = self._unit(cells.per), self._pieces(cells.pieces), self._pack(cells)
        if self._faults or unit is None or pack is None:
            return None, tuple(self._faults), ""
        if described is not None and not what.covers:
            pack, unsettled = self._settled(described, pack, unit)
            if described.why_not or described.kind is None or unsettled:
                return None, (), described.why_not or unsettled
            what = _What(
                described.kind, described.attributes, (), described.read_from, described.supposed
            )
        try:
            goods = self._put_up(what, unit, pack, pieces, cells, description)
        except RowFaults as error:
            return None, (*self._faults, *error.faults), ""
        if self._faults:
            goods = replace(goods, faults=tuple(self._faults))
        return goods, (), ""

    def _fault(self, column: ColumnFault) -> None:
        self._faults.append(column)

    def _what(self, cells: GoodsCells, described: Described | None) -> _What:
        """Kind, attributes and contents as the columns give them."""
        covers: tuple[Covered, ...] = ()
        try:
            covers = read_covers(cells.covers, self.attributes)
        except ValueError as error:
            self._fault(("covers", str(error)))
        kind = cells.kind.casefold().replace(" ", "_")
        if cells.covers and kind in ("", KIT):
            return _What(KIT, (), covers)
        attributes: Attributes = ()
        if described is None:
            try:
                attributes = self.attributes.read(kind, cells.attributes)
            except UnknownKind as error:
                self._fault(("kind", str(error)))
            except ValueError as error:
                self._fault(("attributes", str(error)))
        return _What(kind, attributes, covers)

    def _unit(self, per: str) -> UnitOfMeasure | None:
        try:
            return read_unit(per, self.rules.bare_m)
        except ValueError as error:
            self._fault(("per", str(error)))
            return None

    def _pack(self, cells: GoodsCells) -> PackCell | None:
        try:
            return read_pack_cell(cells.pack, self.rules.decimal_commas)
        except RowFaults as error:
            self._faults += error.faults
            return None

    def _pieces(self, cell: str) -> int:
        try:
            return read_pieces(cell)
        except ValueError as error:
            self._fault(("pieces per pack", str(error)))
            return 1

    def _settled(
        self, described: Described, pack: PackCell, unit: UnitOfMeasure
    ) -> tuple[PackCell, str]:
        """The pack by column and description, and why they do not agree."""
        if described.pack is None or pack.unit is not None:
            return pack, ""
        kind = self.attributes.kinds.get(described.kind or "")
        each = unit.meaning == "each" and kind is not None and kind.unit == "ea"
        amount, unsettled = settle_pack(described, pack.amount, each)
        return PackCell(pack.written, amount, None), unsettled

    def _put_up(
        self,
        what: _What,
        price_unit: UnitOfMeasure,
        pack_cell: PackCell,
        pieces: int,
        cells: GoodsCells,
        description: str,
    ) -> Goods:
        kind = self.attributes.kinds.get(what.kind)
        unit: Unit = "ea" if kind is None else kind.unit
        meaning: Meaning = price_unit.meaning
        if what.covers and meaning == "set":
            meaning = "each"
        basis: PriceBasis | None = None
        try:
            basis = price_basis(meaning, unit, what.kind, self.rules.bare_m)
        except ValueError as error:
            self._fault(("per", str(error)))
        put = PutUp(
            pack_cell, cells.per, price_unit, basis, cells.sold_by, unit, what.kind, description
        )
        content = pack_content(put, self.pack_of, self.rules.bare_m)
        pack = whole_steps(content, pieces)
        stick = kind is not None and kind.stick
        wrong = pieces_fault(unit, what.kind, pack, pieces, stick=stick)
        if wrong:
            self._fault(("pieces per pack", wrong))
        return Goods(
            kind=what.kind,
            attributes=what.attributes,
            unit=unit,
            label=KIT if kind is None else kind.describe(what.attributes),
            family=family(meaning),
            meaning=meaning,
            basis=basis,
            pack=pack,
            content=content,
            each=each_of(basis),
            pieces=pieces,
            covers=what.covers,
            read_from=what.read_from,
            supposed=(*what.supposed, *metric_note(basis, content, pack)),
        )
