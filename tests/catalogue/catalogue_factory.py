"""Small invented price lists, items and parts for the tests of the catalogue."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from estimator.catalogue.match import ItemIndex, index_items
from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.records import Item, PriceList
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Attributes, Part

HEAD = "item number,kind,attributes,price,per,pack,pieces per pack,supplier,description,currency"
WIRE: Attributes = (
    ("size", "10 AWG"),
    ("material", "cu"),
    ("insulation", "THHN/THWN-2"),
    ("colour", "black"),
)
CONDUIT: Attributes = (("raceway", "EMT"), ("trade_size", "3/4"))
BUSHING: Attributes = (("trade_size", "3/4"),)
GOOD_ROW: Mapping[str, str] = {
    "item number": "B-1",
    "kind": "insulating_bushing",
    "attributes": "trade_size=3/4",
    "price": "12.50",
    "per": "C",
    "pack": "100",
    "pieces per pack": "",
    "supplier": "",
    "description": "plastic bushing",
    "currency": "",
}
WIRE_ROW: Mapping[str, str] = {
    **GOOD_ROW,
    "item number": "W-1",
    "kind": "conductor",
    "attributes": "size=10 AWG; material=cu; insulation=THHN/THWN-2; colour=black",
    "price": "0.55",
    "per": "FT",
    "pack": "",
    "description": "wire",
}


def row(good: Mapping[str, str] = GOOD_ROW, **changed: str) -> str:
    """A CSV row: a good one with some cells changed (underscores for blanks in names)."""
    cells = {**good, **{name.replace("_", " "): value for name, value in changed.items()}}
    assert set(cells) == set(good), "no such column"
    return ",".join('"' + cells[name].replace('"', '""') + '"' for name in HEAD.split(","))


def read(*rows: str, head: str = HEAD, name: str = "invented_supply.csv") -> PriceList:
    """Rows below a head, read."""
    return read_text("\n".join((head, *rows)), name)


def read_text(text: str, name: str = "invented_supply.csv") -> PriceList:
    """A price list in UTF-8, read."""
    return read_price_list(text.encode("utf-8"), name, load_part_kinds())


def item(
    number: str,
    price: str,
    pack: str = "1",
    *,
    kind: str = "insulating_bushing",
    attributes: Attributes = BUSHING,
    pieces: int = 1,
    currency: str = "USD",
    supplier: str = "Invented Supply",
) -> Item:
    """An item as read. price: of one unit."""
    unit = load_part_kinds()[kind].unit
    return Item(
        supplier=supplier,
        number=number,
        description=f"item {number}",
        kind=kind,
        attributes=attributes,
        unit=unit,
        pack=Decimal(pack),
        unit_price=Decimal(price),
        printed_price=Decimal(price),
        price_basis="foot" if unit == "ft" else "each",
        currency=currency,
        row=2,
        pieces=pieces,
    )


def wire(number: str, price: str, pack: str = "1", pieces: int = 1) -> Item:
    """Wire of one kind."""
    return item(number, price, pack, kind="conductor", attributes=WIRE, pieces=pieces)


def conduit(number: str, price: str, pack: str = "10", pieces: int = 1) -> Item:
    """Conduit of one kind."""
    return item(number, price, pack, kind="raceway", attributes=CONDUIT, pieces=pieces)


def price_list(items: Sequence[Item], name: str = "list.csv") -> PriceList:
    """Items as a price list that was read without faults."""
    return PriceList(name, "Invented Supply", "0" * 64, tuple(items), len(items), (), 0)


def index(*items: Item, currency: str = "USD") -> ItemIndex:
    """Items, ready to be matched."""
    return index_items([price_list(items)], currency)


def part(
    quantity: str,
    kind: str = "insulating_bushing",
    attributes: Attributes = BUSHING,
    cuts: Sequence[str] = (),
) -> Part:
    """A part of the take-off."""
    return load_part_kinds().part(
        kind,
        attributes,
        Decimal(quantity),
        asked_by=("/runs/0",),
        because=(),
        cuts_ft=tuple(map(Decimal, cuts)),
    )


def wire_part(*cuts: str) -> Part:
    """Wire in cuts."""
    return part(str(sum(map(Decimal, cuts))), "conductor", WIRE, cuts)


def conduit_part(*cuts: str) -> Part:
    """Conduit in cuts."""
    return part(str(sum(map(Decimal, cuts))), "raceway", CONDUIT, cuts)
