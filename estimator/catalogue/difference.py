"""What a newer price list changes: items that are new or gone, prices up and down."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from estimator.catalogue.records import Item, PriceList
from estimator.units import plain

Aspect = Literal[
    "price", "unit", "pack", "description", "what it is", "currency", "quantity breaks",
    "minimum order", "validity", "status", "contents", "GTIN", "lead time",
]  # fmt: skip

_TENTH = Decimal("0.1")
_HUNDRED = Decimal(100)
_NOTHING = Decimal(0)
_BIGGEST = 10

Identity = tuple[str, str, date | None]


@dataclass(frozen=True, slots=True)
class Change:
    """One aspect of an item that changed; before and after as text."""

    aspect: Aspect
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class ItemChange:
    """An item that stands in both lists and differs.

    amount: of the price of one unit, after less before. percent: of the price before, to one
    decimal, half up. Both are None where the prices cannot be compared: another currency, or
    another unit that is counted.
    """

    before: Item
    after: Item
    changes: tuple[Change, ...]
    amount: Decimal | None
    percent: Decimal | None

    @property
    def up(self) -> bool:
        """Whether the price of one unit rose."""
        return self.amount is not None and self.amount > 0

    @property
    def down(self) -> bool:
        """Whether the price of one unit fell."""
        return self.amount is not None and self.amount < 0


@dataclass(frozen=True, slots=True)
class ListDifference:
    """A newer price list held against an older one; items in the order of their list.

    same_file: both are the same bytes. unchanged: items alike in all aspects. An item is the
    same by number and supplier (number alone where each list has one supplier, whose name may
    come from that of the file), and by first day where it has several prices. Rows that are
    not items, since they have faults or were not understood, are not compared.
    """

    old: PriceList
    new: PriceList
    same_file: bool
    added: tuple[Item, ...]
    gone: tuple[Item, ...]
    changed: tuple[ItemChange, ...]
    unchanged: int

    @property
    def repriced(self) -> tuple[ItemChange, ...]:
        """The changed items whose price of one unit is another."""
        return tuple(each for each in self.changed if each.up or each.down)

    def biggest_movers(self, most: int = _BIGGEST) -> tuple[ItemChange, ...]:
        """The items whose price changed most by percent, either way; by number where even."""
        return tuple(
            sorted(
                self.repriced,
                key=lambda each: (
                    -abs(each.percent or _NOTHING),
                    each.after.supplier,
                    each.after.number,
                ),
            )[:most]
        )


def difference(old: PriceList, new: PriceList) -> ListDifference:
    """What changed from an older to a newer list of one supplier. Row numbers do not count."""
    names = _Names(old.items, new.items)
    before, after = names.by_identity(old.items), names.by_identity(new.items)
    changed: list[ItemChange] = []
    unchanged = 0
    for identity, item in after.items():
        earlier = before.get(identity)
        if earlier is None:
            continue
        change = _compare(earlier, item)
        if change is None:
            unchanged += 1
        else:
            changed.append(change)
    return ListDifference(
        old=old,
        new=new,
        same_file=old.digest == new.digest,
        added=tuple(item for identity, item in after.items() if identity not in before),
        gone=tuple(item for identity, item in before.items() if identity not in after),
        changed=tuple(changed),
        unchanged=unchanged,
    )


class _Names:
    """What items of two lists are known by.

    The first day counts only for items with several prices in a list; else a list that is
    dated anew would have nothing but new items.
    """

    def __init__(self, old: Sequence[Item], new: Sequence[Item]) -> None:
        suppliers = [{item.supplier for item in items} for items in (old, new)]
        self._by_number = all(len(names) <= 1 for names in suppliers)
        self._several = self._repeated(old) | self._repeated(new)

    def by_identity(self, items: Iterable[Item]) -> Mapping[Identity, Item]:
        """Items by what they are known by, in their order."""
        found: dict[Identity, Item] = {}
        for item in items:
            name = self._name(item)
            found[*name, item.valid_from if name in self._several else None] = item
        return found

    def _name(self, item: Item) -> tuple[str, str]:
        return ("" if self._by_number else item.supplier.casefold(), item.number)

    def _repeated(self, items: Iterable[Item]) -> set[tuple[str, str]]:
        seen: set[tuple[str, str]] = set()
        twice: set[tuple[str, str]] = set()
        for item in items:
            name = self._name(item)
            (twice if name in seen else seen).add(name)
        return twice


def _compare(before: Item, after: Item) -> ItemChange | None:
    changes = tuple(
        [
            Change(aspect, told(before), told(after))
            for aspect, value, told in _ASPECTS
            if value(before) != value(after)
        ]
    )
    if not changes:
        return None
    if (before.currency, before.unit) != (after.currency, after.unit):
        return ItemChange(before, after, changes, None, None)
    amount = after.unit_price - before.unit_price
    percent = (amount * _HUNDRED / before.unit_price).quantize(_TENTH, ROUND_HALF_UP)
    return ItemChange(before, after, changes, amount, percent)


def _breaks(item: Item) -> str:
    return ", ".join(f"{each.from_packs}: {each.unit_price}" for each in item.breaks) or "none"


def _dates(item: Item) -> str:
    return f"{item.valid_from or 'always'} to {item.valid_until or 'further notice'}"


def _status(item: Item) -> str:
    replaced = f", replaced by {item.replaced_by}" if item.replaced_by else ""
    return ("discontinued" if item.discontinued else "available") + replaced


def _what(item: Item) -> str:
    told = "; ".join(f"{name}={value}" for name, value in item.attributes)
    return f"{item.kind}: {told}" if told else item.kind


def _pack(item: Item) -> str:
    pieces = f" in {item.pieces} pieces" if item.pieces > 1 else ""
    return f"{plain(item.pack)} {item.unit}{pieces}"


def _order(item: Item) -> str:
    return f"{item.minimum_packs} packs, in steps of {item.pack_increment}"


def _contents(item: Item) -> str:
    return "; ".join(f"{plain(each.quantity)} {each.kind}" for each in item.covers) or "none"


_ASPECTS: Sequence[tuple[Aspect, Callable[[Item], object], Callable[[Item], str]]] = (
    ("price", lambda item: item.unit_price, lambda item: str(item.unit_price)),
    ("unit", lambda item: (item.unit, item.price_basis), lambda item: item.price_basis),
    ("pack", lambda item: (item.pack, item.pieces), _pack),
    ("description", lambda item: item.description, lambda item: item.description),
    ("what it is", lambda item: (item.kind, item.attributes), _what),
    ("currency", lambda item: item.currency, lambda item: item.currency),
    ("quantity breaks", lambda item: item.breaks, _breaks),
    ("minimum order", lambda item: (item.minimum_packs, item.pack_increment), _order),
    ("validity", lambda item: (item.valid_from, item.valid_until), _dates),
    ("status", lambda item: (item.discontinued, item.replaced_by), _status),
    ("contents", lambda item: item.covers, _contents),
    ("GTIN", lambda item: item.gtin, lambda item: item.gtin or "none"),
    (
        "lead time",
        lambda item: item.lead_time_days,
        lambda item: "not given" if item.lead_time_days is None else f"{item.lead_time_days} days",
    ),
)
