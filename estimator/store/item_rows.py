"""An item as a row of the database and back, exactly."""

import json
from collections.abc import Sequence
from dataclasses import MISSING, dataclass, field, fields
from datetime import date
from decimal import Decimal
from operator import attrgetter
from typing import Any, cast

from estimator.catalogue.records import Covered, Item, PriceBreak
from estimator.money import UNIT_PRICE_STEP
from estimator.store.column_types import in_steps
from estimator.store.item_match import match_hash
from estimator.store.tables.catalogues import CatalogueItemRow
from estimator.takeoff.records import Attributes

COLUMNS = (
    "organisation_id", "item_set", "place", "row", "number", "supplier", "description",
    "kind", "unit", "currency", "unit_price", "match_hash", "kit", "details",
)  # fmt: skip
# In details: what few items have is left out where it is the default.
_DEFAULTS = {each.name: each.default for each in fields(Item) if each.default is not MISSING}
_SHAPED = ("supposed", "breaks", "valid_from", "valid_until", "covers")
_PLAIN = tuple(name for name in _DEFAULTS if name not in _SHAPED)
_PLACES = -cast(int, UNIT_PRICE_STEP.as_tuple().exponent)
_OFTEN_SHARED = tuple(name for name in _PLAIN if name != "gtin")
_encode = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode
# What makes the details of an item, but for what nearly each item has its own of.
_OF_DETAILS = attrgetter(
    "kind", "unit", "attributes", "price_basis", "supposed", "valid_from", "valid_until",
    *_OFTEN_SHARED,
)  # fmt: skip
_MOST_KEPT = 20_000


@dataclass(frozen=True, slots=True)
class RowMaker:
    """Makes rows of one item set.

    whole_price: the price as a whole number of its smallest step, as SQLite keeps it.
    """

    organisation_id: int
    item_set: int
    whole_price: bool
    # Hash and details without their end, by what they are made of: a list repeats few of them.
    _known: dict[tuple[object, ...], tuple[int, str]] = field(default_factory=dict, compare=False)

    def row(self, place: int, item: Item) -> Sequence[Any]:
        """The values of COLUMNS as the driver wants them; details as JSON text.

        Raises ValueError for a unit price with more than four places.
        """
        steps = in_steps(item.unit_price, _PLACES)
        match, details = self._shared(item)
        end = f',"printed_price":"{item.printed_price}"'
        if item.gtin:
            end += f',"gtin":{_encode(item.gtin)}'
        return (
            self.organisation_id, self.item_set, place, item.row, item.number, item.supplier,
            item.description, item.kind, item.unit, item.currency,
            steps if self.whole_price else item.unit_price,
            match, bool(item.covers), f"{details}{end}}}",
        )  # fmt: skip

    def _shared(self, item: Item) -> tuple[int, str]:
        """Hash and details but for price and GTIN, whose end is left open."""
        # The text of a pack counts: 500 and 500.0 are equal, and not the same.
        alone = item.breaks or item.covers
        key = () if alone else (*_OF_DETAILS(item), str(item.pack))
        known = None if alone else self._known.get(key)
        if known is None:
            match = match_hash(item.kind, item.unit, item.attributes)
            known = (match, _encode(_details(item)).removesuffix("}"))
            if not alone:
                if len(self._known) >= _MOST_KEPT:
                    self._known.clear()
                self._known[key] = known
        return known


def item_of(row: CatalogueItemRow) -> Item:
    """The item of a row, equal to the one that was imported."""
    details = row.details
    return Item(
        supplier=row.supplier,
        number=row.number,
        description=row.description,
        kind=row.kind,
        attributes=pairs(details["attributes"]),
        unit=cast(Any, row.unit),
        pack=Decimal(details["pack"]),
        unit_price=row.unit_price,
        printed_price=Decimal(details["printed_price"]),
        price_basis=details["price_basis"],
        currency=row.currency,
        row=row.row,
        supposed=tuple(details.get("supposed", ())),
        breaks=tuple(
            PriceBreak(packs, Decimal(price)) for packs, price in details.get("breaks", ())
        ),
        valid_from=_day(details.get("valid_from")),
        valid_until=_day(details.get("valid_until")),
        covers=tuple(
            Covered(kind, pairs(attributes), Decimal(quantity))
            for kind, attributes, quantity in details.get("covers", ())
        ),
        **{name: details[name] for name in _PLAIN if name in details},
    )


def pairs(stored: Sequence[Sequence[str]]) -> Attributes:
    """Attributes as JSON keeps them, as pairs again."""
    return tuple([(name, value) for name, value in stored])


def _details(item: Item) -> dict[str, Any]:
    """All but price and GTIN."""
    found: dict[str, Any] = {
        "attributes": item.attributes,
        "pack": str(item.pack),
        "price_basis": item.price_basis,
    }
    for name in _OFTEN_SHARED:
        value = getattr(item, name)
        if value != _DEFAULTS[name]:
            found[name] = value
    if item.supposed:
        found["supposed"] = item.supposed
    if item.breaks:
        found["breaks"] = [(each.from_packs, str(each.unit_price)) for each in item.breaks]
    if item.valid_from is not None:
        found["valid_from"] = item.valid_from.isoformat()
    if item.valid_until is not None:
        found["valid_until"] = item.valid_until.isoformat()
    if item.covers:
        found["covers"] = [(each.kind, each.attributes, str(each.quantity)) for each in item.covers]
    return found


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)
